import { describe, expect, it } from 'vitest';
import { whatIf } from '../../src/night/what-if.js';
import { madeJudged } from './made-frames.js';

describe('whatIf', () => {
  it('of equal frames: depth grows with the root of their number', () => {
    const points = whatIf([1, 2, 3, 4].map((i) => madeJudged(`f${i}`)));
    expect(points.map((point) => point.kept)).toEqual([1, 2, 3, 4]);
    points.forEach((point) => {
      expect(point.depth).toBeCloseTo(Math.sqrt(point.kept / 4), 12);
      expect(point.fwhm).toBeCloseTo(3.6, 12);
    });
  });

  it('shows that a frame in bright twilight does the stack harm', () => {
    const good = [1, 2, 3, 4].map((i) => madeJudged(`f${i}`));
    const twilight = madeJudged('t', { noise: 120 }, { weight: 0.01 });
    const points = whatIf([twilight, ...good]);
    expect(points[3]!.depth).toBeGreaterThan(2);
    expect(points[4]!.depth).toBeCloseTo(1, 12);
  });

  it('takes the best frames first and stacks groups apart', () => {
    const points = whatIf([
      madeJudged('a', { fwhmPx: 4 }, { weight: 0.3 }),
      madeJudged('b', { fwhmPx: 2 }, { weight: 1 }),
      madeJudged('c', { fwhmPx: 3 }, { weight: 0.9, group: 'other' }),
    ]);
    expect(points[0]!.fwhm).toBeCloseTo(3);
    expect(points[1]!.fwhm).toBeCloseTo(3.75);
    expect(points[2]!.depth).toBeCloseTo(1, 12);
  });

  it('is in pixels when a plate scale is missing, and empty without weights', () => {
    expect(whatIf([madeJudged('a', { arcsecPerPx: null })])[0]!.fwhm).toBeCloseTo(2.4);
    expect(whatIf([madeJudged('a', {}, { weight: null })])).toEqual([]);
    expect(whatIf([])).toEqual([]);
  });
});
