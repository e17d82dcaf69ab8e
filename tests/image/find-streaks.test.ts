import { describe, expect, it } from 'vitest';
import { measureBackground } from '../../src/image/background-map.js';
import { coarseSignal } from '../../src/image/coarse-signal.js';
import { findStreaks } from '../../src/image/find-streaks.js';
import { driftPath, kolmogorov, tracked } from '../scenes/profiles.js';
import { makeStarImage } from '../scenes/star-image.js';
import { seeingImage, starField, type StarFieldOptions } from '../scenes/star-field.js';

const image = seeingImage(3);

/** Light of a line of Gaussian cross section, `height` electrons at its ridge, along which it may vary. */
function line(
  x1: number,
  y1: number,
  x2: number,
  y2: number,
  height: (t: number) => number,
): StarFieldOptions['extra'] {
  const length = Math.hypot(x2 - x1, y2 - y1);
  const c = (x2 - x1) / length;
  const s = (y2 - y1) / length;
  return (light, width) => {
    for (let k = 0; k < light.length; k += 1) {
      const x = (k % width) - x1;
      const y = Math.floor(k / width) - y1;
      const along = x * c + y * s;
      const across = x * s - y * c;
      if (along < 0 || along > length || Math.abs(across) > 8) continue;
      light[k] += height(along / length) * Math.exp((-across * across) / (2 * 1.3 ** 2));
    }
  };
}
const streaksOf = (options: StarFieldOptions, star = image) => {
  const { plane } = starField(star, { count: 250, ...options });
  return findStreaks(coarseSignal(plane, measureBackground(plane), 3.5));
};

describe('streaks', () => {
  it('are found with their ends and angle', () => {
    const found = streaksOf({ extra: line(60, 100, 840, 500, () => 70) });
    expect(found).toHaveLength(1);
    const [streak] = found;
    const truth = (Math.atan2(400, 780) * 180) / Math.PI;
    expect(Math.abs(streak.angleDeg - truth)).toBeLessThan(0.5);
    expect(Math.abs(streak.lengthPx / Math.hypot(780, 400) - 1)).toBeLessThan(0.05);
    const ends = [Math.hypot(streak.x1 - 60, streak.y1 - 100), Math.hypot(streak.x2 - 60, streak.y2 - 100)];
    expect(Math.min(...ends)).toBeLessThan(25);
  });

  it('are found in a crowded field', () => {
    expect(streaksOf({ count: 1500, extra: line(60, 600, 840, 150, () => 90) })).toHaveLength(1);
  });

  it('are not seen on a plain frame, a crowded one, or one of short trailed stars', () => {
    expect(streaksOf({})).toEqual([]);
    expect(streaksOf({ count: 2500 })).toEqual([]);
    const trailed = makeStarImage(tracked(kolmogorov(3), driftPath(14, 25)), 26, 6);
    expect(streaksOf({ count: 400 }, trailed)).toEqual([]);
  });

  it('are not seen in a bleeding column or in a diffraction spike', () => {
    expect(streaksOf({ extra: line(300, 0, 300, 699, () => 700) })).toEqual([]);
    const spike = line(250, 150, 650, 550, (t) => 5000 * Math.exp(-Math.abs(t - 0.5) * 12));
    expect(streaksOf({ extra: spike })).toEqual([]);
  });
});
