import type { LinearWcs } from '../fits/types.js';
import type { SkyOrientation } from './types.js';

const degrees = (radians: number): number => ((((radians * 180) / Math.PI) % 360) + 360) % 360;

/**
 * How the pixel frame lies on the sky, from the linear part of a WCS (longitude row first, latitude row second): where a small step
 * north or east points in pixels. Intermediate world coordinates are tangent-plane degrees, x towards east (Greisen & Calabretta 2002).
 * Throws RangeError for a singular matrix.
 */
export function skyOrientation(wcs: LinearWcs): SkyOrientation {
  const [[a, b], [c, d]] = wcs.cd;
  const determinant = a * d - b * c;
  if (!Number.isFinite(determinant) || determinant === 0) throw new RangeError('the WCS matrix is singular');
  // Columns of the inverse matrix: pixel steps of one degree east, one degree north.
  const east = Math.atan2(-c / determinant, d / determinant);
  const north = Math.atan2(a / determinant, -b / determinant);
  return {
    northDeg: degrees(north),
    eastDeg: degrees(east),
    parity: Math.sin(east - north) > 0 ? 1 : -1,
  };
}
