import { smoothCoefficients } from './h-smooth.js';

const { floor } = Math;

/**
 * Lay the four quadrants of the top left `rows` x `columns` of `from` out as 2 x 2 blocks (sum, differences) in `to`; both have
 * `stride` columns.
 */
function interleave(
  from: Float64Array,
  to: Float64Array,
  rows: number,
  columns: number,
  stride: number,
): void {
  const halfRows = (rows + 1) >> 1;
  const half = (columns + 1) >> 1;
  for (let i = 0; i < rows; i++) {
    let even = (i % 2 === 0 ? i >> 1 : halfRows + (i >> 1)) * stride;
    let odd = even + half;
    const row = i * stride;
    const end = row + columns - (columns & 1);
    for (let at = row; at < end; at += 2) {
      to[at] = from[even++]!;
      to[at + 1] = from[odd++]!;
    }
    if (columns & 1) to[end] = from[even]!;
  }
}

/** Round to a multiple of `unit`, halves away from zero where `positive` is half a unit and `negative` one less; `per` is 1 / unit. */
function roundTo(value: number, unit: number, per: number, positive: number, negative: number): number {
  return floor((value + (value >= 0 ? positive : negative)) * per) * unit;
}

/** True for odd multiples; `value` is an integer. */
const isOdd = (value: number): boolean => floor(value * 0.5) * 2 !== value;

/**
 * Undo the H-transform (White 1992): log2(n) expansions from the sum of all pixels down to single ones, each turning sum and
 * x, y and cross differences of a 2 x 2 block into its four elements. The low bits that the forward transform dropped are
 * told by the others' parity. `smoothScale` above 1 smooths each level (0: none). Values stay integers below 2^53; units are powers
 * of two, so that dividing by them is exact. `values` is used up; the pixels come back.
 */
export function invertHTransform(
  values: Float64Array,
  rows: number,
  columns: number,
  smoothScale: number,
): Float64Array {
  const levels = Math.ceil(Math.log2(Math.max(rows, columns)));
  const top = 2 ** (levels + 1);
  values[0] = roundTo(values[0]!, top, 1 / top, top / 2, top / 2 - 1);
  if (levels === 0) return values;
  const blocks = new Float64Array(values.length);
  for (let level = levels - 1; level >= 0; level--) {
    const topRows = Math.ceil(rows / 2 ** level);
    const topColumns = Math.ceil(columns / 2 ** level);
    interleave(values, blocks, topRows, topColumns, columns);
    if (smoothScale > 1) smoothCoefficients(blocks, topRows, topColumns, columns, smoothScale);
    expandBlocks(blocks, topRows, topColumns, columns, level);
    if (level > 0) {
      for (let i = 0; i < topRows; i++) {
        values.set(blocks.subarray(i * columns, i * columns + topColumns), i * columns);
      }
    }
  }
  return blocks;
}

/** One expansion, in place. */
function expandBlocks(
  values: Float64Array,
  rows: number,
  columns: number,
  stride: number,
  level: number,
): void {
  const last = level === 0;
  const bit0 = 2 ** level;
  const bit1 = bit0 * 2;
  const per0 = 1 / bit0;
  const per1 = 1 / bit1;
  const share = last ? 0.25 : 0.5;
  // On the last level bit0 is 1: its half rounds nothing.
  const half0 = last ? 0 : bit0 / 2;
  const less0 = last ? 0 : half0 - 1;
  const less1 = bit0 - 1;
  for (let i = 0; i < rows; i += 2) {
    const hasRow = i + 1 < rows;
    const pairs = hasRow ? columns & ~1 : 0;
    let at = i * stride;
    const end = at + pairs;
    for (; at < end; at += 2) {
      const below = at + stride;
      let sum = values[at]!;
      const cross = roundTo(values[below + 1]!, bit0, per0, half0, less0);
      const low0 = isOdd(cross * per0) ? bit0 : 0;
      let x = roundTo(values[below]!, bit1, per1, bit0, less1);
      let y = roundTo(values[at + 1]!, bit1, per1, bit0, less1);
      x += x >= 0 ? -low0 : low0;
      y += y >= 0 ? -low0 : low0;
      // Bit 1 of (cross xor x xor y), in two's complement: the parity of their floors together.
      const low1 = isOdd(floor(cross * per1) + floor(x * per1) + floor(y * per1)) ? bit1 : 0;
      sum += sum >= 0 ? low0 - low1 : low0 === 0 ? low1 : low0 - low1;
      values[below + 1] = floor((sum + x + y + cross) * share);
      values[below] = floor((sum + x - y - cross) * share);
      values[at + 1] = floor((sum - x + y - cross) * share);
      values[at] = floor((sum - x - y + cross) * share);
    }
    // What is left of an odd last row or column: pairs along it, and the corner.
    const step = hasRow ? stride : 1;
    for (let j = pairs; j < columns; j += 2, at += 2) {
      if (hasRow || j + 1 < columns) {
        const difference = roundTo(values[at + step]!, bit1, per1, bit0, less1);
        const low1 = isOdd(difference * per1) ? bit1 : 0;
        const sum = values[at]! + (values[at]! >= 0 ? -low1 : low1);
        values[at + step] = floor((sum + difference) * share);
        values[at] = floor((sum - difference) * share);
      } else {
        values[at] = floor(values[at]! * share);
      }
    }
  }
}
