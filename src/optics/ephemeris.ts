import { Body, Equator, Horizon, Illumination, MoonPhase, Observer } from 'astronomy-engine';
import { separationDeg } from './separation.js';

/** Where somebody stands: degrees, east positive, metres. */
export interface Site {
  readonly latitudeDeg: number;
  readonly longitudeDeg: number;
  readonly elevationMetre: number;
}

/** Sun and moon over a site at a moment. */
export interface SkyLights {
  /** Altitude of the Sun's centre, degrees, without refraction; below -18 the night is fully dark. */
  readonly sunAltitudeDeg: number;
  readonly moonAltitudeDeg: number;
  /** Lit part of the moon's disc, 0..1. */
  readonly moonLit: number;
  /** 0 new, 90 first quarter, 180 full, 270 last quarter. */
  readonly moonPhaseDeg: number;
  /** Angle between moon and target, degrees; null without a target. */
  readonly moonSeparationDeg: number | null;
}

/**
 * Sun and moon as seen from a site (topocentric, true equator of date), by the library astronomy-engine.
 *
 * @param time ISO 8601 UTC; @param target J2000 position in degrees, or null. Throws RangeError for an unreadable time.
 */
export function skyLights(
  time: string,
  site: Site,
  target: { readonly raDeg: number; readonly decDeg: number } | null = null,
): SkyLights {
  const date = new Date(time);
  if (Number.isNaN(date.getTime())) throw new RangeError(`not a time: ${time}`);
  const observer = new Observer(site.latitudeDeg, site.longitudeDeg, site.elevationMetre);
  const altitude = (body: Body): number => {
    const place = Equator(body, date, observer, true, true);
    return Horizon(date, observer, place.ra, place.dec).altitude;
  };
  const moon = Equator(Body.Moon, date, observer, false, true);
  return {
    sunAltitudeDeg: altitude(Body.Sun),
    moonAltitudeDeg: altitude(Body.Moon),
    moonLit: Illumination(Body.Moon, date).phase_fraction,
    moonPhaseDeg: MoonPhase(date),
    moonSeparationDeg:
      target === null ? null : separationDeg(moon.ra * 15, moon.dec, target.raDeg, target.decDeg),
  };
}

/**
 * Altitude of a target above the horizon, degrees, without refraction; target of date is close enough to J2000 for an airmass.
 *
 * @param time ISO 8601 UTC. Throws RangeError for an unreadable time.
 */
export function targetAltitudeDeg(
  time: string,
  site: Site,
  target: { readonly raDeg: number; readonly decDeg: number },
): number {
  const date = new Date(time);
  if (Number.isNaN(date.getTime())) throw new RangeError(`not a time: ${time}`);
  const observer = new Observer(site.latitudeDeg, site.longitudeDeg, site.elevationMetre);
  return Horizon(date, observer, target.raDeg / 15, target.decDeg).altitude;
}
