import { describe, expect, it } from 'vitest';
import { makeCandidateFilter } from '../../src/image/candidate-filter.js';

const side = 15;
function image(value: (dx: number, dy: number) => number): Float32Array {
  return Float32Array.from({ length: side * side }, (_, k) =>
    value((k % side) - 7, Math.floor(k / side) - 7),
  );
}
const star = (dx: number, dy: number, fwhm: number): number =>
  Math.exp((-4 * Math.LN2 * (dx * dx + dy * dy)) / (fwhm * fwhm));
const centre = 7 * side + 7;

describe('candidate filter', () => {
  it('reads the flux of a star of its own width', () => {
    const fwhm = 2.2;
    const { flux, snr } = makeCandidateFilter(fwhm)(
      image((dx, dy) => 100 + 50 * star(dx, dy, fwhm)),
      side,
      centre,
      100,
      4,
      5,
    )!;
    // 5 x 5 pixels hold all but a few thousandths of such a star.
    const whole = (50 * Math.PI * fwhm * fwhm) / (4 * Math.LN2);
    expect(Math.abs(flux / whole - 1)).toBeLessThan(0.02);
    // Matched filter: flux / (noise sqrt(4 pi sigma^2)).
    expect(snr / (whole / (4 * Math.sqrt(4 * Math.PI) * (fwhm / 2.3548)))).toBeCloseTo(1, 1);
  });

  it('sees through light that is everywhere', () => {
    const { snr, ringSnr } = makeCandidateFilter(2.2)(
      image(() => 130),
      side,
      centre,
      100,
      4,
      5,
    )!;
    expect(snr).toBeGreaterThan(15);
    expect(Math.abs(ringSnr)).toBeLessThan(0.01);
  });

  it('places the peak between pixels', () => {
    const peak = makeCandidateFilter(2.5)(
      image((dx, dy) => 100 + 200 * star(dx - 0.3, dy + 0.2, 2.5)),
      side,
      centre,
      100,
      4,
      5,
    )!;
    expect(peak.dx).toBeGreaterThan(0.15);
    expect(peak.dy).toBeLessThan(-0.1);
  });

  it('says nothing of a peak under the threshold', () => {
    const peak = makeCandidateFilter(2.2)(
      image((dx, dy) => 100 + 5 * star(dx, dy, 2.2)),
      side,
      centre,
      100,
      4,
      5,
    );
    expect(peak).toBeNull();
  });
});
