/** Position on the sensor with the centre as origin and r = 1 at the corners. */
export interface FieldPosition {
  readonly u: number;
  readonly v: number;
  /** Squared distance from the centre, 1 at the corners. */
  readonly r2: number;
}

/**
 * Bring a FITS pixel position (first pixel = 1) to field coordinates: origin at the sensor's centre, unit = half the diagonal.
 * Source: SCIENCE, coordinates: "r = 1 at the corner where a formula says normalised".
 */
export function fieldPosition(x: number, y: number, widthPx: number, heightPx: number): FieldPosition {
  const half = Math.hypot(widthPx, heightPx) / 2;
  const u = (x - (widthPx + 1) / 2) / half;
  const v = (y - (heightPx + 1) / 2) / half;
  return { u, v, r2: u * u + v * v };
}
