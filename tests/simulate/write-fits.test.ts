import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { frameHeader } from '../../src/simulate/frame-header.js';
import { parseScenario } from '../../src/simulate/load-scenario.js';
import { planNight } from '../../src/simulate/plan-night.js';
import { encodeFits, formatCard } from '../../src/simulate/write-fits.js';

const verifier = spawnSync('fitsverify', ['-h']).error === undefined;
const text = (bytes: Uint8Array): string => Buffer.from(bytes).toString('latin1');

describe('formatCard', () => {
  it('puts values where the standard wants them (FITS Standard 4.0, section 4.2)', () => {
    const card = formatCard({ keyword: 'EXPTIME', value: 120.5, comment: '[s] exposure time' });
    expect(card).toHaveLength(80);
    expect(card.slice(0, 10)).toBe('EXPTIME = ');
    expect(card.slice(10, 30)).toBe('               120.5');
    expect(card.slice(30, 33)).toBe(' / ');
    expect(formatCard({ keyword: 'SIMPLE', value: true, comment: '' })[29]).toBe('T');
  });

  it('pads short strings to eight characters and doubles quotes', () => {
    expect(formatCard({ keyword: 'FILTER', value: 'L', comment: '' }).slice(10, 20)).toBe("'L       '");
    expect(formatCard({ keyword: 'OBJECT', value: "Wren's Nest", comment: '' })).toContain("'Wren''s Nest'");
  });

  it('writes exponents in capitals and refuses what a card cannot hold', () => {
    expect(formatCard({ keyword: 'CD1_1', value: -2.5e-9, comment: '' })).toContain('-2.5E-9');
    expect(() => formatCard({ keyword: 'X', value: Number.NaN, comment: '' })).toThrow(RangeError);
    expect(() => formatCard({ keyword: 'lower', value: 1, comment: '' })).toThrow(RangeError);
    expect(() => formatCard({ keyword: 'OBJECT', value: 'é', comment: '' })).toThrow(RangeError);
    expect(() => formatCard({ keyword: 'OBJECT', value: 'x'.repeat(80), comment: '' })).toThrow(RangeError);
  });
});

describe('encodeFits', () => {
  it('writes unsigned 16-bit values with BZERO, big-endian, in blocks of 2880', () => {
    const bytes = encodeFits(Uint16Array.of(0, 1, 32768, 65535), 2, 2, []);
    expect(bytes.length).toBe(2 * 2880);
    expect(text(bytes)).toContain('BZERO   =                32768');
    const view = new DataView(bytes.buffer, 2880);
    expect([0, 2, 4, 6].map((at) => view.getInt16(at) + 32768)).toEqual([0, 1, 32768, 65535]);
  });

  it('writes floats and bytes as they are', () => {
    const floats = encodeFits(Float32Array.of(1.5, -2), 2, 1, []);
    expect(new DataView(floats.buffer, 2880).getFloat32(4)).toBe(-2);
    expect(text(floats)).toContain('BITPIX  =                  -32');
    expect(encodeFits(Uint8Array.of(7, 255), 2, 1, [])[2881]).toBe(255);
  });

  it('refuses pixels that do not fill the image', () => {
    expect(() => encodeFits(new Uint16Array(5), 2, 2, [])).toThrow(RangeError);
  });

  it.skipIf(!verifier)(
    'passes fitsverify without errors or warnings (skipped where it is not installed)',
    () => {
      const folder = mkdtempSync(join(tmpdir(), 'starassay-'));
      try {
        const scenario = parseScenario(
          { name: 'check', camera: { widthPx: 60, heightPx: 40, mosaic: 'RGGB' } },
          'test',
        );
        const cards = frameHeader(scenario, planNight(scenario)[0]);
        const path = join(folder, 'check.fits');
        for (const pixels of [new Uint16Array(2400), new Float32Array(2400), new Uint8Array(2400)]) {
          writeFileSync(path, encodeFits(pixels, 60, 40, cards));
          const report = execFileSync('fitsverify', [path], { encoding: 'utf8' });
          expect(report).toContain('0 warning(s) and 0 error(s)');
        }
      } finally {
        rmSync(folder, { recursive: true });
      }
    },
  );
});
