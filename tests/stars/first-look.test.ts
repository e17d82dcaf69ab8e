import { describe, expect, it } from 'vitest';
import { openWindow } from '../../src/stars/first-look.js';
import { StarFlag } from '../../src/stars/types.js';
import { lookedAt } from '../scenes/looked-at.js';
import { seeingImage, starField } from '../scenes/star-field.js';

const image = seeingImage(3);
const stars = [
  { x: 200, y: 200, flux: 60000 },
  { x: 500, y: 300, flux: 50000 },
  { x: 505, y: 300, flux: 45000 },
  { x: 700, y: 100, flux: 50000 },
  { x: 720, y: 400, flux: 50000 },
  { x: 110, y: 610, flux: 50000 },
  { x: 650, y: 600, flux: 50000 },
  { x: 300, y: 500, flux: 3000000 },
  { x: 3.5, y: 400, flux: 40000 },
];
const { setting, looks } = lookedAt(image, { stars });
const at = (x: number, y: number) =>
  looks.find(
    (look) => Math.hypot(setting.sources.x[look.source] - x, setting.sources.y[look.source] - y) < 3,
  );

describe('first look', () => {
  it('finds a lone star sound, with its place and height', () => {
    const look = at(200, 200)!;
    expect(look.flags).toBe(0);
    expect(Math.hypot(look.moments!.x - 199, look.moments!.y - 199)).toBeLessThan(0.05);
    expect(Math.abs(look.sky + look.pedestal - 500)).toBeLessThan(3);
    expect(look.peak).toBeGreaterThan(1000);
  });

  it('marks the blended, the clipped and the one at the border', () => {
    expect(at(500, 300)!.flags & StarFlag.Blended).toBeTruthy();
    expect(at(300, 500)!.flags & StarFlag.Saturated).toBeTruthy();
    const edge = at(3.5, 400);
    expect(edge === undefined || (edge.flags & StarFlag.Edge) !== 0).toBe(true);
  });

  it('opens a window with the neighbour masked and says how much of its light comes over', () => {
    const source = at(500, 300)!.source;
    expect(openWindow(setting, source, 500, 300, 10)).toBeGreaterThan(0.05);
    const { window } = setting;
    const centre = (299 - window.y0) * window.width;
    expect(window.usable[centre + 499 - window.x0]).toBe(1);
    expect(window.usable[centre + 504 - window.x0]).toBe(0);
    expect(openWindow(setting, at(200, 200)!.source, 200, 200, 10)).toBeLessThan(0.001);
  });

  it.each([2.4, 1.5])(
    'tells hits, and noise found beside hot pixels, from faint stars %f px wide',
    (fwhmPx) => {
      const options = { count: 200, snr: [10, 300], hotFraction: 0.005, seed: 3 } as const;
      const narrow = seeingImage(fwhmPx);
      const faint = lookedAt(narrow, options);
      const truth = starField(narrow, options).stars;
      const kept = faint.looks.filter(({ flags }) => (flags & StarFlag.TooSharp) === 0);
      const place = (source: number) => [faint.setting.sources.x[source], faint.setting.sources.y[source]];
      const isNear = (star: { x: number; y: number }, source: number): boolean =>
        Math.hypot(place(source)[0] - star.x, place(source)[1] - star.y) < 3;
      const bogus = kept.filter(({ source }) => !truth.some((star) => isNear(star, source)));
      const inside = truth.filter(({ x, y }) => x > 10 && y > 10 && x < 890 && y < 690);
      const seen = inside.filter((star) => kept.some(({ source }) => isNear(star, source)));
      // The issue: at most 1 % false stars (two of 200), at least 95 % of the stars of signal to noise 10 and more; many of them sit on a hot pixel.
      expect(bogus.length).toBeLessThanOrEqual(2);
      expect(seen.length).toBeGreaterThanOrEqual(0.95 * inside.length);
    },
  );
});
