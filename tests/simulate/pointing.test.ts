import { Body, Equator, Horizon, Observer } from 'astronomy-engine';
import { describe, expect, it } from 'vitest';
import { pointingAt } from '../../src/simulate/pointing.js';

describe('pointingAt', () => {
  it('agrees with astronomy-engine on altitude and azimuth', () => {
    const when = new Date('2026-09-12T21:30:00Z');
    const observer = new Observer(46.2, 11.4, 0);
    const moon = Equator(Body.Jupiter, when, observer, true, true);
    const theirs = Horizon(when, observer, moon.ra, moon.dec);
    const ours = pointingAt(when, moon.ra * 15, moon.dec, 46.2, 11.4);
    // Mean against apparent sidereal time: under two seconds of time.
    expect(Math.abs(ours.altitudeDeg - theirs.altitude)).toBeLessThan(0.01);
    expect(Math.abs(ours.azimuthDeg - theirs.azimuth)).toBeLessThan(0.02);
  });

  it('has airmass 1 overhead, 37.92 at the horizon (Kasten & Young 1989), infinite below', () => {
    const when = new Date('2026-09-12T21:30:00Z');
    let overhead = 0;
    for (let ra = 0; ra < 360; ra += 0.25) {
      overhead = Math.max(overhead, pointingAt(when, ra, 46.2, 46.2, 11.4).altitudeDeg);
    }
    expect(overhead).toBeGreaterThan(89.8);
    const low = Array.from({ length: 3600 }, (_, i) => pointingAt(when, i / 10, 0, 46.2, 11.4)).filter(
      ({ altitudeDeg }) => altitudeDeg > 0 && altitudeDeg < 0.1,
    );
    expect(low.length).toBeGreaterThan(0);
    for (const { airmass } of low) expect(airmass).toBeGreaterThan(36.5);
    expect(pointingAt(when, 0, -80, 46.2, 11.4).airmass).toBe(Infinity);
  });
});
