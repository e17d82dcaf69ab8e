import { describe, expect, it } from 'vitest';
import {
  gaussianProfile,
  KOLMOGOROV_FWHM,
  kolmogorovProfile,
  moffatProfile,
  withHalo,
} from '../../src/simulate/seeing-profile.js';
import type { SeeingProfile } from '../../src/simulate/seeing-profile.js';

/** Flux inside a radius by Simpson's rule. */
function fluxWithin(profile: SeeingProfile, radius: number, cells = 4000): number {
  const step = radius / cells;
  let sum = 0;
  for (let i = 0; i <= cells; i++) {
    const weight = i === 0 || i === cells ? 1 : i % 2 ? 4 : 2;
    sum += (weight * step * 2 * Math.PI * i * step * profile.at(i * step)) / 3;
  }
  return sum;
}

describe('seeing profiles', () => {
  const profiles: [string, SeeingProfile][] = [
    ['Kolmogorov', kolmogorovProfile(3)],
    ['Moffat', moffatProfile(3, 3.5)],
    ['Gaussian', gaussianProfile(3)],
  ];

  it.each(profiles)('%s: falls to half at half its FWHM', (name, profile) => {
    // 0.976 has three digits, which bounds the Kolmogorov profile's own width.
    const tolerance = name === 'Kolmogorov' ? 1.5e-3 : 1e-9;
    expect(Math.abs(profile.at(1.5) / profile.at(0) - 0.5)).toBeLessThan(tolerance);
  });

  it.each(profiles)('%s: holds one unit of flux', (_name, profile) => {
    // Light beyond 400 radii: under 0.1 % for the slowest wings.
    expect(Math.abs(fluxWithin(profile, 600, 60_000) - 1)).toBeLessThan(2e-3);
  });

  it('Kolmogorov: FWHM is 0.976 lambda/r0 (Fried 1966)', () => {
    const unit = kolmogorovProfile(KOLMOGOROV_FWHM);
    let low = 0.3;
    let high = 0.7;
    for (let i = 0; i < 50; i++) {
      const middle = (low + high) / 2;
      if (unit.at(middle) > unit.at(0) / 2) low = middle;
      else high = middle;
    }
    expect(2 * low).toBeCloseTo(0.976, 3);
  });

  it('Kolmogorov: peak is the integral of the transfer function, (6/5) pi Gamma(6/5) 3.44^(-6/5)', () => {
    const gammaSixFifths = 0.9181687424;
    const peak = 1.2 * Math.PI * gammaSixFifths * 3.44 ** -1.2;
    expect(kolmogorovProfile(KOLMOGOROV_FWHM).at(0) / peak).toBeCloseTo(1, 4);
  });

  it('Kolmogorov: wings join smoothly and fall as radius^(-11/3) with the coefficient of the transfer function at zero', () => {
    const unit = kolmogorovProfile(KOLMOGOROV_FWHM);
    expect(unit.at(8.0001) / unit.at(7.9999)).toBeCloseTo(1, 3);
    // Hankel transform of -3.44 nu^(5/3): 3.44 * 2 pi (2 pi q)^(-11/3) 2^(8/3) Gamma(11/6) / -Gamma(-5/6); 0.0229 q^(-11/3).
    expect((unit.at(20) * 20 ** (11 / 3)) / 0.0229).toBeGreaterThan(0.97);
    expect((unit.at(20) * 20 ** (11 / 3)) / 0.0229).toBeLessThan(1.06);
  });

  it('a halo keeps the flux and dims the core', () => {
    const hazy = withHalo(kolmogorovProfile(3), 0.3, 24);
    expect(fluxWithin(hazy, 3000, 100_000)).toBeGreaterThan(0.97);
    expect(hazy.at(0) / kolmogorovProfile(3).at(0)).toBeCloseTo(0.7, 1);
  });

  it('refuses widths and exponents that mean nothing', () => {
    expect(() => kolmogorovProfile(0)).toThrow(RangeError);
    expect(() => gaussianProfile(Number.NaN)).toThrow(RangeError);
    expect(() => moffatProfile(3, 1)).toThrow(RangeError);
  });
});
