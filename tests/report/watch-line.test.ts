import { describe, expect, it } from 'vitest';
import type { JudgedFrame } from '../../src/night/types.js';
import type { CauseFinding } from '../../src/causes/types.js';
import { watchFinding, watchLine } from '../../src/report/watch-line.js';

const frame = {
  file: 'sub_0012.fits',
  header: { dateObs: '2026-03-14T22:05:00.000Z' },
  fwhm: { px: 2.31, arcsec: 3.37, standardError: 0.01 },
  elongation: 1.08,
  stars: { measured: 640 },
  background: { level: 803.1 },
  transparency: 0.97,
  decision: 'keep',
  reasons: [],
} as unknown as JudgedFrame;

describe('watchLine', () => {
  it('says when, what, and the figures that decide', () => {
    const line = watchLine(frame);
    for (const part of ['22:05', 'keep', 'sub_0012.fits', '3.37', '1.08', '640', '803', '97 %'])
      expect(line).toContain(part);
    expect(line).not.toContain('\n');
  });

  it('gives the first reason of a reject', () => {
    const reasons = [
      { code: 'elongation', message: 'elongation 1.52 is over 1.35', value: 1.52, limit: 1.35 },
    ] as const;
    expect(watchLine({ ...frame, decision: 'reject', reasons })).toContain('(elongation 1.52 is over 1.35)');
  });

  it('says nothing against a kept sub, uses the signs that people read, and wraps to the terminal', () => {
    const reasons = [
      { code: 'fwhm', message: 'FWHM 3.37" is over 1.25 x the group\'s 2.70"', value: 3.37, limit: 3.3 },
    ] as const;
    expect(watchLine({ ...frame, reasons })).not.toContain('(');
    const line = watchLine({ ...frame, decision: 'reject', reasons }, 60);
    expect(line.replace(/\n */g, ' ')).toContain("(FWHM 3.37″ is over 1.25 × the group's 2.70″)");
    for (const part of line.split('\n')) expect([...part].length).toBeLessThanOrEqual(60);
  });

  it('lets no control character of a file name reach the terminal', () => {
    // eslint-disable-next-line no-control-regex
    expect(watchLine({ ...frame, file: 'a\u001b[31m.fits' })).not.toMatch(/\u001b/);
  });
});

it('watchFinding says how sure a cause is and what to do, with the signs that people read', () => {
  const cause = {
    code: 'sensor-tilt',
    title: 'Sensor tilt',
    confidence: 0.97,
    advice: 'Put 21.0 um of shim under the corner at 27 deg, then look again.',
  } as unknown as CauseFinding;
  expect(watchFinding(cause, 42)).toBe(
    '  Sensor tilt: practically certain (97 %)\n  Put 21.0 µm of shim under the corner at\n  27°, then look again.',
  );
});
