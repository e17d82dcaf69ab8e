import { describe, expect, it } from 'vitest';
import { lightsWithoutSite, skyLights, targetAltitudeDeg } from '../../src/optics/sky/index.js';

describe('lightsWithoutSite', () => {
  // Meeus, Astronomical Algorithms, example 47.a: moon on 1992 April 12, 0h TD at RA 134.688, Dec 13.768 of date (from memory);
  // precessed to J2000 134.80, 13.74. A minute of time between TD and UT moves it by 0.01 degrees.
  it('finds the moon where a worked example has it', () => {
    const lights = lightsWithoutSite('1992-04-12T00:00:00Z', { raDeg: 134.8, decDeg: 13.74 }, null);
    expect(lights.moonSeparationDeg).toBeLessThan(0.03);
    expect(lights.moonAltitudeDeg).toBeNull();
    expect(lights.sunAltitudeDeg).toBeNull();
  });

  it('brackets the altitudes that a site would see, to the parallax of the moon', () => {
    const site = { latitudeDeg: -32.4, longitudeDeg: 20.8, elevationMetre: 1760 };
    for (let day = 1; day < 28; day++) {
      const time = `2026-07-${String(day).padStart(2, '0')}T19:00:00Z`;
      const target = { raDeg: 273.9, decDeg: -25.3 };
      const there = skyLights(time, site, target);
      const lights = lightsWithoutSite(time, target, targetAltitudeDeg(time, site, target));
      expect(Math.abs(lights.moonSeparationDeg - (there.moonSeparationDeg ?? NaN))).toBeLessThan(1.1);
      expect(Math.abs(lights.moonLit - there.moonLit)).toBeLessThan(0.01);
      const within = (range: readonly [number, number] | null, value: number, slack: number): void => {
        expect(value).toBeGreaterThan((range?.[0] ?? NaN) - slack);
        expect(value).toBeLessThan((range?.[1] ?? NaN) + slack);
      };
      // Target of date against J2000: a third of a degree; parallax of the moon: one.
      within(lights.sunAltitudeDeg, there.sunAltitudeDeg, 0.5);
      within(lights.moonAltitudeDeg, there.moonAltitudeDeg, 1.5);
    }
  });

  it('pins the altitudes down for a target at the zenith', () => {
    const lights = lightsWithoutSite('2013-07-22T17:43:12Z', { raDeg: 273.87, decDeg: -25.285 }, 90);
    const [low, high] = lights.moonAltitudeDeg ?? [NaN, NaN];
    expect(high - low).toBeLessThan(1e-9);
    expect(low).toBeCloseTo(90 - lights.moonSeparationDeg, 9);
    expect(lights.moonLit).toBeGreaterThan(0.98);
  });

  it('refuses what is no time', () => {
    expect(() => lightsWithoutSite('soon', { raDeg: 0, decDeg: 0 }, null)).toThrow(RangeError);
  });
});
