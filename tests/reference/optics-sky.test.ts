import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { airmass } from '../../src/optics/airmass.js';
import { skyLights, targetAltitudeDeg } from '../../src/optics/ephemeris.js';

interface Row {
  readonly time: string;
  readonly sunAltitudeDeg: number;
  readonly moonAltitudeDeg: number;
  readonly moonLit: number;
  readonly targetAltitudeDeg: number;
  readonly moonSeparationDeg: number;
}

// Recorded by optics-sky.py.
const recorded = JSON.parse(readFileSync(new URL('optics-sky.json', import.meta.url), 'utf8')) as {
  readonly library: string;
  readonly rows: readonly Row[];
};
const site = { latitudeDeg: 46.2, longitudeDeg: 11.4, elevationMetre: 640 };
const target = { raDeg: 311.5, decDeg: 43.8 };

describe(`sun, moon and target against ${recorded.library}`, () => {
  it.each(recorded.rows)('$time', (row) => {
    const lights = skyLights(row.time, site, target);
    // Two libraries with their own Earth orientation: a few hundredths of a degree; the target is taken at J2000 (0.4 degrees by 2027).
    expect(Math.abs(lights.sunAltitudeDeg - row.sunAltitudeDeg)).toBeLessThan(0.05);
    expect(Math.abs(lights.moonAltitudeDeg - row.moonAltitudeDeg)).toBeLessThan(0.05);
    // Recorded from the elongation alone, which is the phase angle's supplement to within the moon's parallax.
    expect(Math.abs(lights.moonLit - row.moonLit)).toBeLessThan(0.01);
    expect(Math.abs((lights.moonSeparationDeg ?? NaN) - row.moonSeparationDeg)).toBeLessThan(0.4);
    expect(Math.abs(targetAltitudeDeg(row.time, site, target) - row.targetAltitudeDeg)).toBeLessThan(0.4);
  });
});

describe('airmass', () => {
  // Kasten & Young 1989, Applied Optics 28, 4735, table II (from memory): 60 degrees 1.154, 30: 1.994, 10: 5.59, 5: 10.3, horizon 38.
  it.each([
    [60, 1.154, 0.001],
    [30, 1.994, 0.002],
    [10, 5.59, 0.02],
    [5, 10.3, 0.1],
    [0, 38, 0.3],
  ])('at %d degrees', (altitude, expected, tolerance) => {
    expect(Math.abs(airmass(altitude) - expected)).toBeLessThan(tolerance);
  });
});
