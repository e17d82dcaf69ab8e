import { Body, EquatorFromVector, GeoVector, Illumination, MoonPhase } from 'astronomy-engine';
import { separationDeg } from './separation.js';

/** Sun and moon as far as they are known without a site. */
export interface DistantLights {
  /** Lit part of the moon's disc, 0..1. */
  readonly moonLit: number;
  /** 0 new, 90 first quarter, 180 full, 270 last quarter. */
  readonly moonPhaseDeg: number;
  /** Angles between moon, Sun and target from the Earth's centre, degrees: within a degree of those seen from any site. */
  readonly moonSeparationDeg: number;
  readonly sunSeparationDeg: number;
  /** Altitudes that the target's own altitude leaves possible, degrees: lowest and highest; null when that is not known. */
  readonly sunAltitudeDeg: readonly [lowest: number, highest: number] | null;
  readonly moonAltitudeDeg: readonly [lowest: number, highest: number] | null;
}

/**
 * Moon and Sun for frames that name no place: phase and distances need none, and a target near the zenith shows where the zenith is:
 * by the triangle of zenith, target and light, the light's altitude lies within 90 - separation -/+ the target's zenith distance.
 *
 * @param time ISO 8601 UTC; @param target J2000, degrees; @param targetAltitudeDeg its altitude, or null. Throws RangeError for an unreadable time.
 */
export function lightsWithoutSite(
  time: string,
  target: { readonly raDeg: number; readonly decDeg: number },
  targetAltitudeDeg: number | null,
): DistantLights {
  const date = new Date(time);
  if (Number.isNaN(date.getTime())) throw new RangeError(`not a time: ${time}`);
  const from = (body: Body): number => {
    const { ra, dec } = EquatorFromVector(GeoVector(body, date, true));
    return separationDeg(ra * 15, dec, target.raDeg, target.decDeg);
  };
  const [moon, sun] = [from(Body.Moon), from(Body.Sun)];
  const range = (separation: number): readonly [number, number] | null => {
    if (targetAltitudeDeg === null) return null;
    const zenithDistance = 90 - targetAltitudeDeg;
    return [
      Math.max(-90, 90 - separation - zenithDistance),
      Math.min(90, 90 - Math.abs(separation - zenithDistance)),
    ];
  };
  return {
    moonLit: Illumination(Body.Moon, date).phase_fraction,
    moonPhaseDeg: MoonPhase(date),
    moonSeparationDeg: moon,
    sunSeparationDeg: sun,
    sunAltitudeDeg: range(sun),
    moonAltitudeDeg: range(moon),
  };
}
