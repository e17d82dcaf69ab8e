import { describe, expect, it } from 'vitest';
import { airmassOf, atZenith } from '../../src/rig/zenith.js';

const nothing = {
  airmass: null,
  altitudeDeg: null,
  raDeg: null,
  decDeg: null,
  latitudeDeg: null,
  longitudeDeg: null,
  dateObs: null,
};

describe('airmass and zenith', () => {
  it('takes the header first, then the altitude', () => {
    expect(airmassOf({ ...nothing, airmass: 1.3, altitudeDeg: 20 })).toBe(1.3);
    expect(airmassOf({ ...nothing, altitudeDeg: 90 })).toBeCloseTo(1, 3);
    // Kasten & Young at 30 degrees: 1.9939 (plane-parallel 2).
    expect(airmassOf({ ...nothing, altitudeDeg: 30 })).toBeCloseTo(1.994, 3);
    expect(airmassOf({ ...nothing, altitudeDeg: 3 })).toBeNull();
    expect(airmassOf({ ...nothing, airmass: 0 })).toBeNull();
    expect(airmassOf(nothing)).toBeNull();
  });

  it('works it out from direction, site and time', () => {
    // Greenwich sidereal time at J2000.0 is 280.46 degrees: a star there stands on the meridian, 20 degrees off the zenith.
    const place = {
      ...nothing,
      raDeg: 280.46,
      decDeg: 30,
      latitudeDeg: 50,
      longitudeDeg: 0,
      dateObs: '2000-01-01T12:00:00Z',
    };
    expect(airmassOf(place)).toBeCloseTo(1 / Math.cos((20 * Math.PI) / 180), 3);
    expect(airmassOf({ ...place, raDeg: 100.46 })).toBeNull();
  });

  it('brings a width to the zenith', () => {
    expect(atZenith(3, 1)).toBe(3);
    expect(atZenith(2 ** 0.6 * 3, 2)).toBeCloseTo(3, 12);
  });
});
