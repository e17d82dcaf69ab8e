import { lightsWithoutSite, skyLights, type DistantLights, type SkyLights } from '../optics/sky/index.js';
import { frameAirmass } from './extinction.js';
import type { FrameFacts } from './night-series.js';
import type { Evidence } from './types.js';

/** What lit the sky of a frame, as far as place, time and target tell. `unknown`: neither moon nor twilight could be ruled out or in. */
export type SkySource = 'daylight' | 'twilight' | 'moon' | 'none' | 'unknown';

/** Sun and moon over one frame. */
export interface SkyWitness {
  readonly source: SkySource;
  /** With a place in the header. */
  readonly lights: SkyLights | null;
  /** Without one. */
  readonly distant: DistantLights | null;
}

/** A moon thinner than this lights no sky worth a word. */
const LIT = 0.25;
/** Altitudes of the Sun above which the sky is bright: by day, and in twilight that a camera sees. */
const DAY_DEG = 0;
const TWILIGHT_DEG = -15;
/** The moon rises or sets by so much during an exposure of a few minutes, and refraction lifts it by half of that. */
const MOON_UP_DEG = -1;
/** A range of altitudes wider than this tells nobody anything. */
const WIDEST_DEG = 30;

/** Work out what may have lit the sky of a frame. */
export function skyWitness({ frame }: FrameFacts): SkyWitness {
  const { dateObs, latitudeDeg, longitudeDeg, elevationMetre, raDeg, decDeg, altitudeDeg } = frame.header;
  const target = raDeg === null || decDeg === null ? null : { raDeg, decDeg };
  if (dateObs === null) return { source: 'unknown', lights: null, distant: null };
  if (latitudeDeg !== null && longitudeDeg !== null) {
    const lights = skyLights(
      dateObs,
      { latitudeDeg, longitudeDeg, elevationMetre: elevationMetre ?? 0 },
      target,
    );
    return { source: sourceOf(lights), lights, distant: null };
  }
  if (target === null) return { source: 'unknown', lights: null, distant: null };
  const air = frameAirmass(frame);
  const altitude = altitudeDeg ?? (air === null ? null : (Math.asin(Math.min(1, 1 / air)) * 180) / Math.PI);
  const distant = lightsWithoutSite(dateObs, target, altitude);
  return { source: distantSource(distant), lights: null, distant };
}

function sourceOf({ sunAltitudeDeg, moonAltitudeDeg, moonLit }: SkyLights): SkySource {
  if (sunAltitudeDeg > DAY_DEG) return 'daylight';
  if (sunAltitudeDeg > TWILIGHT_DEG) return 'twilight';
  return moonAltitudeDeg > MOON_UP_DEG && moonLit > LIT ? 'moon' : 'none';
}

function distantSource({ sunAltitudeDeg: sun, moonAltitudeDeg: moon, moonLit }: DistantLights): SkySource {
  if (sun !== null && sun[0] > DAY_DEG) return 'daylight';
  if (sun !== null && sun[0] > TWILIGHT_DEG) return 'twilight';
  if (moon !== null && moon[0] > 0 && moonLit > LIT) return 'moon';
  const noSun = sun !== null && sun[1] < TWILIGHT_DEG;
  const noMoon = moonLit <= LIT || (moon !== null && moon[1] < 0);
  return noSun && noMoon ? 'none' : 'unknown';
}

/** Sun and moon as evidence. */
export function skyEvidence({ lights, distant }: SkyWitness): Evidence[] {
  if (distant !== null) {
    const range = (what: string, altitude: DistantLights['sunAltitudeDeg'], limit?: number): Evidence[] =>
      altitude === null || altitude[1] - altitude[0] > WIDEST_DEG
        ? []
        : [
            {
              what: `${what}, from the target's own altitude (no place in the header)`,
              value: (altitude[0] + altitude[1]) / 2,
              error: (altitude[1] - altitude[0]) / 2,
              unit: 'deg',
              ...(limit === undefined ? {} : { limit }),
            },
          ];
    return [
      ...range('altitude of the Sun', distant.sunAltitudeDeg, -18),
      ...range('altitude of the moon', distant.moonAltitudeDeg),
      { what: 'lit part of the moon', value: 100 * distant.moonLit, unit: '%' },
      { what: 'moon to target', value: distant.moonSeparationDeg, unit: 'deg' },
    ];
  }
  if (lights === null) return [];
  const evidence: Evidence[] = [
    { what: 'altitude of the Sun', value: lights.sunAltitudeDeg, unit: 'deg', limit: -18 },
    { what: 'altitude of the moon', value: lights.moonAltitudeDeg, unit: 'deg' },
    { what: 'lit part of the moon', value: 100 * lights.moonLit, unit: '%' },
  ];
  if (lights.moonSeparationDeg !== null)
    evidence.push({ what: 'moon to target', value: lights.moonSeparationDeg, unit: 'deg' });
  return evidence;
}

/** The moon of a frame in words: `99 % lit, 28 deg from the target`; null when the time is unknown. */
export function moonWords({ lights, distant }: SkyWitness): string | null {
  const moon = lights ?? distant;
  if (moon === null) return null;
  const away = moon.moonSeparationDeg;
  return `${(100 * moon.moonLit).toFixed(0)} % lit${away === null ? '' : `, ${away.toFixed(0)} deg from the target`}`;
}

/** True when a moon that is bright enough may have been up, though nobody knows. */
export function moonPossible({ source, distant }: SkyWitness): boolean {
  return (
    source === 'unknown' &&
    distant !== null &&
    distant.moonLit > LIT &&
    (distant.moonAltitudeDeg?.[1] ?? 90) > 0
  );
}
