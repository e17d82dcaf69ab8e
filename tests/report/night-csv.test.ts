import { describe, expect, it } from 'vitest';
import { nightCsv } from '../../src/report/night-csv.js';
import { syntheticNight } from './synthetic-night.js';

/** A reader for RFC 4180, independent of the writer. */
function readCsv(text: string): string[][] {
  const rows: string[][] = [[]];
  for (const match of text.matchAll(/("(?:[^"]|"")*"|[^,\r\n]*)(,|\r\n)/g)) {
    rows.at(-1)!.push(match[1]!.startsWith('"') ? match[1]!.slice(1, -1).replaceAll('""', '"') : match[1]!);
    if (match[2] !== ',') rows.push([]);
  }
  return rows.slice(0, -1);
}

describe('nightCsv', () => {
  it('has a header row and a row a frame, all of one length', () => {
    const night = syntheticNight({ frames: 9 });
    const [head, ...rows] = readCsv(nightCsv(night));
    expect(head!.slice(0, 3)).toEqual(['file', 'group', 'decision']);
    expect(rows).toHaveLength(9);
    for (const row of rows) expect(row).toHaveLength(head!.length);
    const column = head!.indexOf('fwhm_px');
    rows.forEach((row, i) => expect(Number(row[column])).toBeCloseTo(night.frames[i]!.fwhm.px!, 5));
  });

  it('gives reasons of rejected subs only, and of kept ones that a person overruled', () => {
    const night = syntheticNight({ frames: 9 });
    const why = {
      code: 'elongation',
      message: 'elongation 1.81 is over the limit 1.35',
      value: 1.81,
      limit: 1.35,
    } as const;
    const own = { code: 'overruled', message: 'your own decision', value: null, limit: null } as const;
    const [kept, rejected, overruled] = night.frames;
    const frames = [
      { ...kept!, decision: 'keep' as const, reasons: [why] },
      { ...rejected!, decision: 'reject' as const, reasons: [why] },
      { ...overruled!, decision: 'keep' as const, reasons: [own, why] },
    ];
    const [head, ...rows] = readCsv(nightCsv({ ...night, frames }));
    expect(rows.map((row) => row[head!.indexOf('reason_codes')])).toEqual([
      '',
      'elongation',
      'overruled elongation',
    ]);
    expect(rows.map((row) => row[head!.indexOf('reason')])).toEqual(['', why.message, own.message]);
  });

  it('carries hostile text as text', () => {
    const [, ...rows] = readCsv(
      nightCsv(syntheticNight({ frames: 3, text: '=HYPERLINK("http://x","y")\r\n\u001b[2J' })),
    );
    expect(rows).toHaveLength(3);
    for (const field of rows.flat()) {
      expect(field).not.toMatch(/^[=+@]/);
      // eslint-disable-next-line no-control-regex -- that is the point
      expect(field).not.toMatch(/[\u0000-\u001f]/);
    }
  });

  it('is only the header row for a night without frames', () => {
    expect(nightCsv(syntheticNight({ frames: 0 })).split('\r\n')).toHaveLength(2);
  });
});
