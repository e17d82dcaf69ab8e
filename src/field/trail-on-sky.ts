import type { SkyOrientation } from '../optics/types.js';
import type { TrailFigure } from './types.js';

/** How far a trail's axis may lie off an axis of the mount and still be named after it, degrees. */
const axisToleranceDeg = 20;
/** Without a WCS the camera is only taken to be squared on (common practice, no source): a narrower gate. */
const squaredOnToleranceDeg = 10;
/** Rounder than this, or less alike over the field, an axis means nothing. */
const leastElongation = 1.1;
const leastCoherence = 0.5;

const offAxis = (angleDeg: number, axisDeg: number): number => {
  const d = (((angleDeg - axisDeg) % 180) + 180) % 180;
  return Math.min(d, 180 - d);
};

/**
 * Where a trail lies on the sky: its position angle (degrees north through east, [0, 180)) from a WCS, and the mount axis along
 * which the stars ran; without a WCS the axis follows the pixel axes (x along right ascension: camera squared on, common practice,
 * no source). Null where there is no trail or no way to tell.
 */
export function trailOnSky(
  trail: { readonly angleDeg: number | null; readonly coherence: number | null },
  elongation: number | null,
  orientation: SkyOrientation | null,
): Pick<TrailFigure, 'skyAngleDeg' | 'axis'> {
  const { angleDeg, coherence } = trail;
  if (angleDeg === null) return { skyAngleDeg: null, axis: null };
  const skyAngleDeg =
    orientation === null
      ? null
      : ((((angleDeg - orientation.northDeg) * orientation.parity) % 180) + 180) % 180;
  const clear = (elongation ?? 1) >= leastElongation && (coherence ?? 0) >= leastCoherence;
  if (!clear) return { skyAngleDeg, axis: null };
  const [raAngle, decAngle, tolerance, angle] =
    skyAngleDeg === null ? [0, 90, squaredOnToleranceDeg, angleDeg] : [90, 0, axisToleranceDeg, skyAngleDeg];
  if (offAxis(angle, raAngle) <= tolerance) return { skyAngleDeg, axis: 'ra' };
  if (offAxis(angle, decAngle) <= tolerance) return { skyAngleDeg, axis: 'dec' };
  return { skyAngleDeg, axis: null };
}
