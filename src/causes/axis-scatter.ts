/** Scatter of an axis, degrees, from the mean length of its double-angle vectors (circular standard deviation; no axis at all: 52). */
export function scatterDeg(agreement: number): number {
  const spread = (Math.sqrt(Math.max(0, -2 * Math.log(Math.max(1e-6, agreement)))) * 90) / Math.PI;
  // Axes spread evenly over the half circle scatter by 180 / root 12 degrees.
  return Math.min(spread, 180 / Math.sqrt(12));
}
