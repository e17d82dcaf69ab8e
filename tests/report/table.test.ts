import stringWidth from 'string-width';
import { describe, expect, it } from 'vitest';
import { nightTable } from '../../src/report/table.js';
import { madeJudged } from '../night/made-frames.js';
import { syntheticNight } from './synthetic-night.js';

const night = syntheticNight({ frames: 14, filters: ['L', 'Ha'] });
const lines = (columns: number | null, color = false, of = night) =>
  nightTable(of, { columns, color }).split('\n');

describe('nightTable', () => {
  it.each([40, 60, 80, 100, 160, 250])('fits a terminal of %i columns', (columns) => {
    for (const line of lines(columns)) expect(stringWidth(line)).toBeLessThanOrEqual(columns);
  });

  it('shows at 80 columns every figure that was promised', () => {
    const head = lines(80).find((line) => line.includes('reason'))!;
    for (const title of ['file', 'FWHM', 'HFD', 'elong', 'stars', 'backgr', 'transp', 'reason'])
      expect(head).toContain(title);
  });

  it('has a block a group and a line a frame, rejects told by a word', () => {
    const all = lines(160);
    expect(all.filter((line) => /^(keep|REJECT) /.test(line))).toHaveLength(14);
    const rejected = night.frames.filter((frame) => frame.decision === 'reject').length;
    expect(all.filter((line) => line.startsWith('REJECT'))).toHaveLength(rejected);
    for (const group of night.groups) expect(all.some((line) => line.startsWith(group.name))).toBe(true);
  });

  it('aligns figures under their titles', () => {
    const all = lines(100).filter((line) => line !== '' && !line.includes(': '));
    const end = all[0]!.indexOf('elong') + 'elong'.length;
    for (const line of all.slice(1, 8)) expect(line.slice(0, end)).toMatch(/\d\.\d\d$/);
  });

  it('gives piped text whole: no colour, no clipped name, reasons in words', () => {
    const piped = lines(null).join('\n');
    expect(piped).not.toContain('\u001b');
    expect(piped).not.toContain('…');
    for (const frame of night.frames) expect(piped).toContain(frame.file);
    for (const frame of night.frames)
      if (frame.decision === 'reject') expect(piped).toContain(frame.reasons[0]!.message);
  });

  it('says pixels where the scale is unknown, and a dash for what was not measured', () => {
    const frame = madeJudged('a.fits', { arcsecPerPx: null, fwhmPx: null, hfdPx: 3 }, { transparency: null });
    const text = lines(80, false, {
      ...night,
      frames: [frame],
      groups: [
        {
          ...night.groups[0]!,
          name: frame.group,
          frames: 1,
          kept: 1,
          reference: { fwhmPx: null, fwhmArcsec: null, elongation: null, level: null, noise: null },
        },
      ],
    });
    expect(text[1]).toContain('FWHM px');
    expect(text[2]).toContain('–');
  });

  it('lets nothing in a header act on the terminal', () => {
    const hostile = syntheticNight({ frames: 4, text: '\u001b[2J\u001b]0;x\u0007\n\u202e' });
    for (const columns of [80, null]) {
      const text = nightTable(hostile, { columns, color: false });
      expect(text).not.toMatch(/[^\P{Cc}\n]|\u202e/u);
      expect(text.split('\n')).toHaveLength(6);
    }
  });

  it('gives the day beside the clock when the frames are of several nights', () => {
    const apart = night.frames.map((frame, i) => ({
      ...frame,
      header: { ...frame.header, dateObs: `2026-11-${10 + i}T21:07:00.000Z` },
    }));
    const text = nightTable({ ...night, frames: apart }, { columns: 160, color: false });
    expect(text).toContain('11-10 21:07');
    expect(nightTable(night, { columns: 160, color: false })).not.toMatch(/\d\d-\d\d \d\d:\d\d/);
  });

  it('is empty for no frame', () => {
    expect(nightTable({ ...night, frames: [], groups: [] }, { columns: 80, color: true })).toBe('');
  });
});
