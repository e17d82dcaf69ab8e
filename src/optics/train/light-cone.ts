/** The light that one point of the sensor receives through a round opening. */
export interface ConeCheck {
  /** Diameter that an opening needs there so that nothing is cut at the sensor's corner, mm. */
  readonly neededMm: number;
  /** Share of its light that reaches the corner through the opening, 0..1 (geometry alone). */
  readonly cornerLight: number;
  /** The same for the sensor's centre. */
  readonly centreLight: number;
}

/**
 * Light cone of a sensor at a distance in front of it: the beam of every sensor point is a cone of diameter d/N about its chief ray.
 *
 * @param distanceMm distance d of the opening from the sensor, mm (>= 0)
 * @param clearMm diameter of the opening, mm
 * @param focalRatio working focal ratio N
 * @param diagonalMm diagonal of the sensor, mm
 * @param exitPupilMm distance of the exit pupil from the sensor, mm; Infinity = chief rays parallel to the axis, the widest demand
 * @throws RangeError when focal ratio, diagonal or pupil distance is not positive
 *
 * Geometry: chief rays run towards the centre of the exit pupil, so the beam of a point at height h is centred at h (1 - d/E).
 */
export function lightCone(
  distanceMm: number,
  clearMm: number,
  focalRatio: number,
  diagonalMm: number,
  exitPupilMm = Infinity,
): ConeCheck {
  if (!(focalRatio > 0) || !(diagonalMm > 0) || !(exitPupilMm > 0)) {
    throw new RangeError('focal ratio, sensor diagonal and exit pupil distance must be positive');
  }
  const beam = distanceMm / focalRatio;
  const offset = (diagonalMm / 2) * Math.abs(1 - distanceMm / exitPupilMm);
  return {
    neededMm: beam + 2 * offset,
    cornerLight: sharedArea(beam / 2, clearMm / 2, offset),
    centreLight: sharedArea(beam / 2, clearMm / 2, 0),
  };
}

/** Part of a disc of radius `r` that lies inside a disc of radius `R` whose centre is `d` away (plane geometry: two circular segments). */
function sharedArea(r: number, R: number, d: number): number {
  if (r === 0) return d <= R ? 1 : 0;
  if (d + r <= R) return 1;
  if (d >= r + R) return 0;
  if (d + R <= r) return (R * R) / (r * r);
  const a = Math.acos(Math.min(1, Math.max(-1, (d * d + r * r - R * R) / (2 * d * r))));
  const b = Math.acos(Math.min(1, Math.max(-1, (d * d + R * R - r * r) / (2 * d * R))));
  const segments = r * r * (a - Math.sin(2 * a) / 2) + R * R * (b - Math.sin(2 * b) / 2);
  return segments / (Math.PI * r * r);
}
