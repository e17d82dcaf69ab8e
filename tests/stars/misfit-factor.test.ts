import { describe, expect, it } from 'vitest';
import { measureBackground } from '../../src/image/background-map.js';
import { measureStars } from '../../src/stars/measure-stars.js';
import { misfitFactors } from '../../src/stars/misfit-factor.js';
import type { MoffatFit } from '../../src/stars/moffat-fit.js';
import { seeingImage, starField } from '../scenes/star-field.js';

/** A fit of 46 pixels (40 free) whose residuals are `excess` times beyond those of noise. */
const fitted = (excess: number, peak = 1000): MoffatFit =>
  ({ misfit: 4000 * excess, expectedMisfit: 4000, pixels: 46, peak }) as MoffatFit;

describe('errors widened by what a fit leaves', () => {
  it('leaves chance alone, and follows a real misfit', () => {
    const { of, typical } = misfitFactors([
      ...Array(20).fill(fitted(-0.1)),
      ...Array(20).fill(fitted(0.1)),
      fitted(3),
    ]);
    expect(of(fitted(0.2))).toBe(1);
    // Half of 120 - 2 sqrt(80) variances, the common share (0.1 at the median) taken off twice: sqrt(1 + 0.5 (112 - 17.9)).
    expect(of(fitted(3))).toBeCloseTo(6.9, 1);
    expect(typical).toBeGreaterThan(1);
    expect(typical).toBeLessThan(1.2);
  });

  it('does not count what the profile misses in all stars alike', () => {
    const stars = [1000, 2000, 4000, 8000, 10000, 16000, 20000].map((peak) => fitted(peak ** 2 / 1e7, peak));
    const { of } = misfitFactors(stars);
    for (const star of stars) expect(of(star)).toBe(1);
    expect(misfitFactors([]).typical).toBe(1);
  });

  it('learns that from the stars that can tell, whatever the noise of the many says', () => {
    const bright = Array.from({ length: 8 }, (_, k) => fitted(20 + k, 1e4));
    // Their profile's part is 1e4 of the noise of these; half of them leave less than noise by chance.
    const faint = Array.from({ length: 200 }, (_, k) => fitted(k % 2 === 0 ? -0.2 : 0.15, 100));
    const { of } = misfitFactors([...bright, ...faint]);
    for (const star of bright) expect(of(star)).toBe(1);
    expect(of(fitted(60, 1e4))).toBeGreaterThan(10);
  });

  it('states honest errors in a crowd', () => {
    const image = seeingImage(3);
    const { plane } = starField(image, { count: 2000, snr: [10, 600], width: 1100, height: 800, seed: 11 });
    const { table } = measureStars(plane, measureBackground(plane), { electronsPerAdu: 1 });
    const pulls: number[] = [];
    for (let k = 0; k < table.count; k += 1)
      if (table.flags[k] === 0) pulls.push((table.fwhm[k] - image.truth.fwhm) / table.fwhmError[k]);
    pulls.sort((a, b) => a - b);
    const at = (part: number): number => pulls[Math.floor(part * pulls.length)];
    // The issue: checked by coverage. Noise errors alone leave 1.4.
    expect((at(0.84) - at(0.16)) / 2).toBeGreaterThan(0.85);
    expect((at(0.84) - at(0.16)) / 2).toBeLessThan(1.2);
    expect(pulls.filter((p) => Math.abs(p) > 3).length).toBeLessThan(0.065 * pulls.length);
  });
});
