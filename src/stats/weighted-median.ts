/**
 * Weighted median: the value at which the running sum of the weights (sorted by value, each weight centred on its value)
 * passes half of the total, linearly interpolated; for equal weights the ordinary median.
 *
 * Entries with a value that is not finite or a weight that is not above zero are ignored; NaN when none is left.
 * Source: Edgeworth (1888); interpolation as for percentiles of weighted samples (common practice).
 */
export function weightedMedian(values: ArrayLike<number>, weights: ArrayLike<number>): number {
  const value = new Float64Array(values.length);
  const weight = new Float64Array(values.length);
  let count = 0;
  let total = 0;
  for (let i = 0; i < values.length; i += 1) {
    if (!Number.isFinite(values[i]) || !(weights[i] > 0)) continue;
    value[count] = values[i];
    weight[count] = weights[i];
    total += weights[i];
    count += 1;
  }
  if (count === 0) return NaN;
  const { at, before } = passing(value, weight, count, total / 2);
  // The entry at which the sum passes half of the total has its own centre beyond it, or the next entry has.
  const centre = before + weight[at] / 2;
  const isBeyond = centre >= total / 2;
  const other = isBeyond ? largestOf(value, 0, at) : smallestOf(value, at + 1, count);
  if (other < 0) return value[at];
  const step = (weight[at] + weight[other]) / 2;
  const t = (total / 2 - centre) / step;
  return isBeyond ? value[at] + t * (value[at] - value[other]) : value[at] + t * (value[other] - value[at]);
}

/** Selection by weight: orders the entries so far that those before `at` are not above it, those after it not below, and that the sum of the weights passes `goal` at it; `before`: the sum short of it. */
function passing(
  value: Float64Array,
  weight: Float64Array,
  count: number,
  goal: number,
): { readonly at: number; readonly before: number } {
  let low = 0;
  let high = count - 1;
  let before = 0;
  while (low < high) {
    const pivot = value[(low + high) >> 1];
    let i = low;
    let j = high;
    while (i <= j) {
      while (value[i] < pivot) i += 1;
      while (value[j] > pivot) j -= 1;
      if (i <= j) {
        exchange(value, i, j);
        exchange(weight, i, j);
        i += 1;
        j -= 1;
      }
    }
    // Now low..j is not above the pivot, i..high not below it, and one entry at most, the pivot's equal, between them.
    let sum = before;
    let k = low;
    while (k <= j) sum += weight[k++];
    if (sum >= goal) {
      high = j;
      continue;
    }
    before = sum;
    if (i - j === 2) {
      if (sum + weight[k] >= goal) return { at: k, before };
      before += weight[k];
    }
    low = i;
  }
  return { at: low, before };
}

function exchange(list: Float64Array, i: number, j: number): void {
  const held = list[i];
  list[i] = list[j];
  list[j] = held;
}

/** Place of the largest of the entries from..end-1; -1 for none. */
function largestOf(value: Float64Array, from: number, end: number): number {
  let best = -1;
  for (let k = from; k < end; k += 1) if (best < 0 || value[k] > value[best]) best = k;
  return best;
}

/** Place of the smallest of the entries from..end-1; -1 for none. */
function smallestOf(value: Float64Array, from: number, end: number): number {
  let best = -1;
  for (let k = from; k < end; k += 1) if (best < 0 || value[k] < value[best]) best = k;
  return best;
}
