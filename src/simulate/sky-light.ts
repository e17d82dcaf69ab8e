import { Body, Equator, Horizon, Illumination, Observer } from 'astronomy-engine';
import type { Scenario } from './scenario.js';

/** Where the Sun and the Moon stand, and how much brighter than a dark night the target's sky is for it. */
export interface SkyLight {
  readonly sunAltitudeDeg: number;
  readonly moonAltitudeDeg: number;
  /** Lit part of the Moon's disc, 0 to 1. */
  readonly moonPhase: number;
  readonly moonDistanceDeg: number;
  /** Sky brightness as a multiple of a dark night's. */
  readonly factor: number;
}

const RADIAN = Math.PI / 180;

/** Dark sky at a fair site, V magnitudes per square arcsecond (common practice, no source). */
const DARK_SKY_MAGNITUDE = 21.2;

/**
 * Sky at the target of a scenario at a moment.
 *
 * Moonlight: Krisciunas & Schaefer 1991 (PASP 103, 1033), equations 3, 15 and 20 to 21. Twilight: brightening in magnitudes by the
 * square of the Sun's altitude above -18 degrees, 0.072 each, a rough law of this program after the course of published curves
 * (zenith, V: about 2.5 mag at -12 degrees). Positions: astronomy-engine.
 */
export function skyLightAt(
  scenario: Scenario,
  when: Date,
  altitudeDeg: number,
  azimuthDeg: number,
): SkyLight {
  const { site, sky } = scenario;
  const observer = new Observer(site.latitudeDeg, site.longitudeDeg, site.elevationMetre);
  const place = (body: Body): { altitude: number; azimuth: number } => {
    const equator = Equator(body, when, observer, true, true);
    return Horizon(when, observer, equator.ra, equator.dec, 'normal');
  };
  const sun = place(Body.Sun);
  const moon = place(Body.Moon);
  const illumination = Illumination(Body.Moon, when);
  const moonDistanceDeg = separation(altitudeDeg, azimuthDeg, moon.altitude, moon.azimuth);

  const dark = 34.08 * Math.exp(20.7233 - 0.92104 * DARK_SKY_MAGNITUDE);
  const moonlight = moonBrightness(
    illumination.phase_angle,
    moonDistanceDeg,
    moon.altitude,
    altitudeDeg,
    sky.extinctionMagPerAirmass,
  );
  const twilightMagnitudes = 0.072 * Math.max(0, sun.altitude + 18) ** 2;
  return {
    sunAltitudeDeg: sun.altitude,
    moonAltitudeDeg: moon.altitude,
    moonPhase: illumination.phase_fraction,
    moonDistanceDeg,
    factor: 1 + moonlight / dark + (10 ** (0.4 * Math.min(20, twilightMagnitudes)) - 1),
  };
}

/** Brightness of moonlit sky, nanolamberts; 0 with the Moon or the target under the horizon. */
export function moonBrightness(
  phaseAngleDeg: number,
  moonDistanceDeg: number,
  moonAltitudeDeg: number,
  altitudeDeg: number,
  extinction: number,
): number {
  if (moonAltitudeDeg <= 0 || altitudeDeg <= 0) return 0;
  const airmass = (altitude: number): number => 1 / Math.sqrt(1 - 0.96 * Math.cos(altitude * RADIAN) ** 2);
  const moonIlluminance = 10 ** (-0.4 * (3.84 + 0.026 * Math.abs(phaseAngleDeg) + 4e-9 * phaseAngleDeg ** 4));
  const scattering =
    10 ** 5.36 * (1.06 + Math.cos(moonDistanceDeg * RADIAN) ** 2) + 10 ** (6.15 - moonDistanceDeg / 40);
  return (
    scattering *
    moonIlluminance *
    10 ** (-0.4 * extinction * airmass(moonAltitudeDeg)) *
    (1 - 10 ** (-0.4 * extinction * airmass(altitudeDeg)))
  );
}

/** Angle between two directions given by altitude and azimuth, degrees. */
function separation(altitude1: number, azimuth1: number, altitude2: number, azimuth2: number): number {
  const cosine =
    Math.sin(altitude1 * RADIAN) * Math.sin(altitude2 * RADIAN) +
    Math.cos(altitude1 * RADIAN) * Math.cos(altitude2 * RADIAN) * Math.cos((azimuth1 - azimuth2) * RADIAN);
  return Math.acos(Math.min(1, Math.max(-1, cosine))) / RADIAN;
}
