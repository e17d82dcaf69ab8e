/**
 * The k-th smallest (k from 0) of the first `count` entries of `values`, which are reordered.
 *
 * No NaN allowed. Throws RangeError when k lies outside 0..count-1.
 * Source: Hoare (1961), algorithm 65 "FIND", with the middle entry as pivot.
 */
export function selectInPlace(values: Float64Array, count: number, k: number): number {
  if (!(k >= 0 && k < count && count <= values.length)) throw new RangeError(`no entry ${k} among ${count}`);
  let low = 0;
  let high = count - 1;
  while (low < high) {
    const pivot = values[(low + high) >> 1];
    let i = low;
    let j = high;
    while (i <= j) {
      while (values[i] < pivot) i += 1;
      while (values[j] > pivot) j -= 1;
      if (i <= j) {
        const swap = values[i];
        values[i] = values[j];
        values[j] = swap;
        i += 1;
        j -= 1;
      }
    }
    if (k <= j) high = j;
    else if (k >= i) low = i;
    else return values[k];
  }
  return values[k];
}

/** Other arrays than of doubles are copied here: the selection stays one piece of compiled code. */
let copy = new Float64Array(1024);

function asDoubles(values: ArrayLike<number>, count: number): Float64Array {
  if (values instanceof Float64Array) return values;
  if (copy.length < count) copy = new Float64Array(2 * count);
  for (let k = 0; k < count; k += 1) copy[k] = values[k];
  return copy;
}

/**
 * Median of the first `count` entries of `values`, the mean of the two middle ones when `count` is even. An array of doubles is reordered, any other left as it is.
 *
 * Returns NaN for no entry. No NaN allowed among them.
 */
export function medianInPlace(values: ArrayLike<number>, count: number = values.length): number {
  if (count === 0) return NaN;
  const half = count >> 1;
  const sorted = asDoubles(values, count);
  const upper = selectInPlace(sorted, count, half);
  if (count % 2 === 1) return upper;
  // Everything before `half` is now <= upper: the lower middle is its maximum.
  let lower = -Infinity;
  for (let i = 0; i < half; i += 1) if (sorted[i] > lower) lower = sorted[i];
  return (lower + upper) / 2;
}
