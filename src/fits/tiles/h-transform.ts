import { smoothCoefficients } from './h-smooth.js';

/** Interleave the two halves of `n` elements `step` apart: first half to even places, second half to odd ones. */
function interleave(values: Float64Array, start: number, n: number, step: number, row: Float64Array): void {
  const half = (n + 1) >> 1;
  for (let i = 0; i < n; i++) row[i < half ? 2 * i : 2 * (i - half) + 1] = values[start + i * step]!;
  for (let i = 0; i < n; i++) values[start + i * step] = row[i]!;
}

/** Round to a multiple of `unit` (a power of two), halves away from zero where `positive` is half a unit. */
function roundTo(value: number, unit: number, positive: number, negative: number): number {
  return Math.floor((value + (value >= 0 ? positive : negative)) / unit) * unit;
}

const isOdd = (value: number, unit: number): boolean => (value / unit) % 2 !== 0;

/**
 * Undo the H-transform in place (White 1992): log2(n) expansions from the sum of all pixels down to single ones, each turning sum and
 * x, y and cross differences of a 2 x 2 block into its four elements. The low bits that the forward transform dropped are
 * told by the others' parity. `smoothScale` above 1 smooths each level (0: none). Values stay integers below 2^53.
 */
export function invertHTransform(
  values: Float64Array,
  rows: number,
  columns: number,
  smoothScale: number,
): void {
  const levels = Math.ceil(Math.log2(Math.max(rows, columns)));
  const row = new Float64Array(Math.max(rows, columns));
  let bit0 = 2 ** (levels - 1);
  const bit2 = bit0 * 4;
  values[0] = roundTo(values[0]!, bit2, bit2 / 2, bit2 / 2 - 1);
  for (let level = levels - 1; level >= 0; level--, bit0 /= 2) {
    const bit1 = bit0 * 2;
    const topRows = Math.ceil(rows / 2 ** level);
    const topColumns = Math.ceil(columns / 2 ** level);
    for (let i = 0; i < topRows; i++) interleave(values, i * columns, topColumns, 1, row);
    for (let j = 0; j < topColumns; j++) interleave(values, j, topRows, columns, row);
    if (smoothScale > 1) smoothCoefficients(values, topRows, topColumns, columns, smoothScale);
    const last = level === 0;
    const divisor = last ? 4 : 2;
    const half1 = bit0;
    // On the last level bit0 is 1: its half rounds nothing.
    const half0 = last ? 0 : bit0 / 2;
    const less0 = last ? 0 : half0 - 1;
    const roundDifference = (value: number): number => roundTo(value, bit1, half1, half1 - 1);
    for (let i = 0; i < topRows; i += 2) {
      const hasRow = i + 1 < topRows;
      for (let j = 0; j < topColumns; j += 2) {
        const hasColumn = j + 1 < topColumns;
        const at = i * columns + j;
        const below = at + columns;
        let sum = values[at]!;
        if (hasRow && hasColumn) {
          const cross = roundTo(values[below + 1]!, bit0, half0, less0);
          const low0 = isOdd(cross, bit0) ? bit0 : 0;
          let x = roundDifference(values[below]!);
          let y = roundDifference(values[at + 1]!);
          x += x >= 0 ? -low0 : low0;
          y += y >= 0 ? -low0 : low0;
          // Bit 1 of (cross xor x xor y), in two's complement: the parity of their floors.
          const parity =
            (isOdd(Math.floor(cross / bit1), 1) ? 1 : 0) ^
            (isOdd(Math.floor(x / bit1), 1) ? 1 : 0) ^
            (isOdd(Math.floor(y / bit1), 1) ? 1 : 0);
          const low1 = parity * bit1;
          sum += sum >= 0 ? low0 - low1 : low0 === 0 ? low1 : low0 - low1;
          values[below + 1] = Math.floor((sum + x + y + cross) / divisor);
          values[below] = Math.floor((sum + x - y - cross) / divisor);
          values[at + 1] = Math.floor((sum - x + y - cross) / divisor);
          values[at] = Math.floor((sum - x - y + cross) / divisor);
        } else if (hasRow || hasColumn) {
          const other = hasRow ? below : at + 1;
          const difference = roundDifference(values[other]!);
          const low1 = isOdd(difference, bit1) ? bit1 : 0;
          sum += sum >= 0 ? -low1 : low1;
          values[other] = Math.floor((sum + difference) / divisor);
          values[at] = Math.floor((sum - difference) / divisor);
        } else {
          values[at] = Math.floor(sum / divisor);
        }
      }
    }
  }
}
