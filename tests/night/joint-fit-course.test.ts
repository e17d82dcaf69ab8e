import { describe, expect, it } from 'vitest';
import { courseMisfit } from '../../src/night/joint-fit-course.js';
import { NOTHING_SHARED } from '../../src/night/joint-fit-start.js';
import { exactFrames } from './exact-frames.js';

const owns = Array.from({ length: 10 }, () => ({ seeing: 1.2, focus: 0, plus: 0, cross: 0 }));
const errors = owns.map(() => 0.05);

describe('courseMisfit', () => {
  it('prefers a focus that follows the temperature to one that turns back', () => {
    const frames = exactFrames(NOTHING_SHARED, owns, (k) => ({
      course: { key: 'L', sensorPx: 0, temperatureC: 8 - 0.1 * k, order: k },
    }));
    const straight = owns.map((_, k) => 0.4 * k - 2);
    const folded = straight.map(Math.abs);
    expect(courseMisfit(frames, straight, errors, 2.5)).toBeLessThan(1);
    expect(courseMisfit(frames, folded, errors, 2.5)).toBeGreaterThan(10);
  });

  it('counts known moves of the focuser', () => {
    const frames = exactFrames(NOTHING_SHARED, owns, (k) => ({
      course: { key: 'L', sensorPx: k < 5 ? 0 : 3, temperatureC: null, order: k },
    }));
    expect(
      courseMisfit(
        frames,
        owns.map((_, k) => (k < 5 ? 1.5 : -1.5)),
        errors,
        2.5,
      ),
    ).toBeLessThan(1);
  });

  it('is nothing with two frames', () => {
    expect(courseMisfit(exactFrames(NOTHING_SHARED, owns.slice(0, 2)), [0, 1], [0.1, 0.1], 2.5)).toBe(0);
  });
});
