import { describe, expect, it } from 'vitest';
import { skyLights, targetAltitudeDeg } from '../../src/optics/ephemeris.js';

const SITE = { latitudeDeg: 46.2, longitudeDeg: 11.4, elevationMetre: 640 };

describe('skyLights', () => {
  it('tells night from day', () => {
    expect(skyLights('2026-09-12T22:00:00Z', SITE).sunAltitudeDeg).toBeLessThan(-30);
    expect(skyLights('2026-09-12T11:00:00Z', SITE).sunAltitudeDeg).toBeGreaterThan(40);
  });

  it('measures the moon from the target, and leaves it out without one', () => {
    expect(skyLights('2026-09-12T22:00:00Z', SITE).moonSeparationDeg).toBeNull();
    const apart = skyLights('2026-09-12T22:00:00Z', SITE, { raDeg: 311.5, decDeg: 43.8 }).moonSeparationDeg;
    expect(apart).toBeGreaterThan(0);
    expect(apart).toBeLessThanOrEqual(180);
  });

  it('refuses an unreadable time', () => {
    expect(() => skyLights('yesterday', SITE)).toThrow(RangeError);
    expect(() => targetAltitudeDeg('yesterday', SITE, { raDeg: 0, decDeg: 0 })).toThrow(RangeError);
  });
});

describe('targetAltitudeDeg', () => {
  it('puts the pole at the altitude of the latitude', () => {
    // The pole of date lies 0.15 degrees from that of J2000 by 2026.
    const altitude = targetAltitudeDeg('2026-09-12T22:00:00Z', SITE, { raDeg: 0, decDeg: 89.999 });
    expect(Math.abs(altitude - 46.2)).toBeLessThan(0.2);
  });
});
