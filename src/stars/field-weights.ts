const COLUMNS = 6;
const ROWS = 4;

/**
 * Weights that let every part of the field count about alike: a star's own weight, divided down where its cell of a 6 x 4 grid holds more than twice the average total.
 *
 * `own` are the stars' weights by precision (0 = not used); `x`, `y` FITS positions.
 */
export function fieldBalancedWeights(
  own: Float64Array,
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  widthPx: number,
  heightPx: number,
): Float64Array {
  const totals = new Float64Array(COLUMNS * ROWS);
  const cell = (k: number): number => {
    const i = Math.max(0, Math.min(COLUMNS - 1, Math.floor(((x[k] - 0.5) / widthPx) * COLUMNS)));
    const j = Math.max(0, Math.min(ROWS - 1, Math.floor(((y[k] - 0.5) / heightPx) * ROWS)));
    return j * COLUMNS + i;
  };
  let sum = 0;
  for (let k = 0; k < own.length; k += 1) {
    if (!(own[k] > 0)) continue;
    totals[cell(k)] += own[k];
    sum += own[k];
  }
  const limit = (2 * sum) / totals.length;
  return own.map((weight, k) => {
    if (!(weight > 0)) return 0;
    const total = totals[cell(k)];
    return total > limit ? (weight * limit) / total : weight;
  });
}
