/**
 * Weighted median: the value at which the running sum of the weights (sorted by value, each weight centred on its value)
 * passes half of the total, linearly interpolated; for equal weights the ordinary median.
 *
 * Entries with a value that is not finite or a weight that is not above zero are ignored; NaN when none is left.
 * Source: Edgeworth (1888); interpolation as for percentiles of weighted samples (common practice).
 */
export function weightedMedian(values: ArrayLike<number>, weights: ArrayLike<number>): number {
  const order: number[] = [];
  let total = 0;
  for (let i = 0; i < values.length; i += 1) {
    if (!Number.isFinite(values[i]) || !(weights[i] > 0)) continue;
    order.push(i);
    total += weights[i];
  }
  if (order.length === 0) return NaN;
  order.sort((a, b) => values[a] - values[b]);
  let before = 0;
  let previousCentre = 0;
  for (let k = 0; k < order.length; k += 1) {
    const weight = weights[order[k]];
    const centre = before + weight / 2;
    if (centre >= total / 2) {
      if (k === 0) return values[order[0]];
      const t = (total / 2 - previousCentre) / (centre - previousCentre);
      return values[order[k - 1]] + t * (values[order[k]] - values[order[k - 1]]);
    }
    before += weight;
    previousCentre = centre;
  }
  return values[order[order.length - 1]];
}
