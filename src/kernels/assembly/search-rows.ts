import { load1, load4, store1 } from './lanes';
import { isSpike } from './spike';

/** Blocks that share a reading of the sky. */
const RUN: i32 = 8;
/** Peaks nearer to the border are left out: the ring about a peak must be there. */
const HALO: i32 = 3;
const RING_BYTES: i32 = 24 * 4;
const ringAt: usize = memory.data(RING_BYTES, 16);

/** Strictly above the neighbours after it in reading order, not below those before: one peak on a plateau of two. */
function isLocalMaximum<T>(at: usize, stride: usize, v: f32): bool {
  const p = sizeof<T>();
  return (
    v >= load1<T>(at - p) &&
    v > load1<T>(at + p) &&
    v >= load1<T>(at - stride) &&
    v > load1<T>(at + stride) &&
    v >= load1<T>(at - stride - p) &&
    v >= load1<T>(at - stride + p) &&
    v > load1<T>(at + stride - p) &&
    v > load1<T>(at + stride + p)
  );
}

/** One bit for each of eight values that is above its limit. */
function lanesAbove<T>(at: usize, limits: usize): i32 {
  if (sizeof<T>() == 2) {
    const over = i16x8.sub_sat_u(v128.load(at), v128.load16_splat(limits));
    return i16x8.bitmask(i16x8.ne(over, i16x8.splat(0)));
  }
  const limit = v128.load32_splat(limits);
  return (
    i32x4.bitmask(f32x4.gt(v128.load(at), limit)) | (i32x4.bitmask(f32x4.gt(v128.load(at, 16), limit)) << 4)
  );
}

/** Is none of 32 values above its limit? For integers only: there one look at all of them pays. */
function areAllUnder<T>(at: usize, limits: usize): bool {
  if (sizeof<T>() != 2) return false;
  const a = i16x8.sub_sat_u(v128.load(at), v128.load16_splat(limits));
  const b = i16x8.sub_sat_u(v128.load(at, 16), v128.load16_splat(limits, 2));
  const c = i16x8.sub_sat_u(v128.load(at, 32), v128.load16_splat(limits, 4));
  const d = i16x8.sub_sat_u(v128.load(at, 48), v128.load16_splat(limits, 6));
  return !v128.any_true(v128.or(v128.or(a, b), v128.or(c, d)));
}

/** Light seen through the 5 x 5 weights about a peak. */
function seenThrough<T>(at: usize, stride: usize, weights: usize, level: f32): f32 {
  const p = sizeof<T>();
  const level4 = f32x4.splat(level);
  let sums = f32x4.splat(0);
  let last: f32 = 0;
  let row = at - 2 * stride - 2 * p;
  for (let j = 0; j < 5; j += 1) {
    sums = f32x4.add(sums, f32x4.mul(v128.load(weights), f32x4.sub(load4<T>(row), level4)));
    last += load<f32>(weights + 16) * (load1<T>(row + 4 * p) - level);
    row += stride;
    weights += 20;
  }
  return (
    f32x4.extract_lane(sums, 0) +
    f32x4.extract_lane(sums, 1) +
    f32x4.extract_lane(sums, 2) +
    f32x4.extract_lane(sums, 3) +
    last
  );
}

/** Lanes of `values` with at most `rank` others below them; -Infinity for the others, and for what is not a number. */
function upTo(rank: i32, values: v128, below: v128): v128 {
  const counts = v128.and(i32x4.le_s(below, i32x4.splat(rank)), f32x4.eq(values, values));
  return v128.bitselect(values, f32x4.splat(-Infinity), counts);
}

function highest(values: v128): f32 {
  return max(
    max(f32x4.extract_lane(values, 0), f32x4.extract_lane(values, 1)),
    max(f32x4.extract_lane(values, 2), f32x4.extract_lane(values, 3)),
  );
}

/**
 * Median of the 24 values of the square ring three away from a peak, without ordering them: the highest with at most 11 (12) others below it is the
 * twelfth (thirteenth).
 */
function ringMedian<T>(at: usize, stride: usize): f32 {
  const p = sizeof<T>();
  const above = at - 3 * stride;
  const under = at + 3 * stride;
  // Two rows of seven, in fours that overlap, then what is left of the columns at their ends.
  v128.store(ringAt, load4<T>(above - 3 * p));
  v128.store(ringAt, load4<T>(above), 12);
  v128.store(ringAt, load4<T>(under - 3 * p), 28);
  v128.store(ringAt, load4<T>(under), 40);
  let to = ringAt + 56;
  for (let row = at - 2 * stride; row <= at + 2 * stride; row += stride) {
    store<f32>(to, load1<T>(row - 3 * p));
    store<f32>(to, load1<T>(row + 3 * p), 4);
    to += 8;
  }
  let twelfth = f32x4.splat(-Infinity);
  let thirteenth = f32x4.splat(-Infinity);
  for (let i: usize = 0; i < <usize>RING_BYTES; i += 16) {
    const values = v128.load(ringAt + i);
    let below = i32x4.splat(0);
    for (let k: usize = 0; k < <usize>RING_BYTES; k += 4)
      below = i32x4.sub(below, f32x4.lt(v128.load32_splat(ringAt + k), values));
    twelfth = f32x4.max(twelfth, upTo(11, values, below));
    thirteenth = f32x4.max(thirteenth, upTo(12, values, below));
  }
  return (highest(twelfth) + highest(thirteenth)) / 2;
}

/** Where the top of the parabola through three values lies, at most half a step away. */
function parabolaTop(before: f32, here: f32, after: f32): f32 {
  const bend = <f32>2 * here - before - after;
  return bend > 0 ? max(<f32>-0.5, min(<f32>0.5, (after - before) / (<f32>2 * bend))) : 0;
}

/** Writes the peak at a block of value `v` to `to` unless its light is below the threshold; returns where the next one goes. */
function takePeak<T>(
  at: usize,
  stride: usize,
  column: i32,
  row: i32,
  v: f32,
  level: f32,
  noise: f32,
  filter: usize,
  threshold: f32,
  to: usize,
): usize {
  const p = sizeof<T>();
  const sumWeights = load<f32>(filter + 25 * 4);
  const sumSquares = load<f32>(filter + 26 * 4);
  const root = sqrt(sumSquares);
  const light = seenThrough<T>(at, stride, filter, level);
  const snr = light / (root * noise);
  if (!(snr > threshold)) return to;
  const around = ringMedian<T>(at, stride) - level;
  store<f32>(to, <f32>column);
  store<f32>(to + 4, <f32>row);
  store<f32>(to + 8, parabolaTop(load1<T>(at - p), v, load1<T>(at + p)));
  store<f32>(to + 12, parabolaTop(load1<T>(at - stride), v, load1<T>(at + stride)));
  store<f32>(to + 16, (light * sumWeights) / sumSquares);
  store<f32>(to + 20, snr);
  store<f32>(to + 24, (light - max(<f32>0, around) * sumWeights) / (root * noise));
  store<f32>(to + 28, around / noise);
  return to + 32;
}

function search<T>(
  first: usize,
  columns: i32,
  stride: i32,
  row0: i32,
  rows: i32,
  levels: usize,
  noises: usize,
  limits: usize,
  filter: usize,
  quiet: f32,
  threshold: f32,
  spikeRatio: f32,
  spikeAbove: f32,
  out: usize,
): i32 {
  const strideBytes = <usize>stride * sizeof<T>();
  const last = columns - HALO;
  let spikes = 0;
  let to = out + 16;
  for (let j = 0; j < rows; j += 1) {
    const row = first + <usize>j * strideBytes;
    for (let c0 = 0; c0 < columns; c0 += RUN) {
      const run = <usize>(c0 / RUN);
      if ((c0 & 31) == 0 && c0 + 32 <= columns) {
        if (areAllUnder<T>(row + <usize>c0 * sizeof<T>(), limits + run * sizeof<T>())) {
          c0 += 32 - RUN;
          continue;
        }
      }
      let hits = lanesAbove<T>(row + <usize>c0 * sizeof<T>(), limits + run * sizeof<T>());
      while (hits != 0) {
        const c = c0 + ctz(hits);
        hits &= hits - 1;
        if (c < HALO || c >= last) continue;
        const at = row + <usize>c * sizeof<T>();
        const v = load1<T>(at);
        if (!isLocalMaximum<T>(at, strideBytes, v)) continue;
        const level = load<f32>(levels + (run << 2));
        const pixelNoise = load<f32>(noises + (run << 2));
        if (
          spikeRatio > 0 &&
          v > level + spikeAbove * pixelNoise &&
          isSpike<T>(at, strideBytes, level, pixelNoise, spikeRatio, false)
        ) {
          spikes += 1;
          // The top of a star that it hides: among the eight about it, as if it were sky.
          store1<T>(at, level);
          for (let k = 0; k < 9; k += 1) {
            const column = c + (k % 3) - 1;
            const row = j + k / 3 - 1;
            if (k == 4 || column < HALO || column >= last || row < 0 || row >= rows) continue;
            const near = first + <usize>row * strideBytes + <usize>column * sizeof<T>();
            const top = load1<T>(near);
            if (!(top > level + spikeAbove * pixelNoise) || !isLocalMaximum<T>(near, strideBytes, top))
              continue;
            if (isSpike<T>(near, strideBytes, level, pixelNoise, spikeRatio, false)) continue;
            to = takePeak<T>(
              near,
              strideBytes,
              column,
              row0 + row,
              top,
              level,
              pixelNoise * quiet,
              filter,
              threshold,
              to,
            );
          }
          store1<T>(at, v);
          continue;
        }
        to = takePeak<T>(at, strideBytes, c, row0 + j, v, level, pixelNoise * quiet, filter, threshold, to);
      }
    }
  }
  store<i32>(out, spikes);
  return <i32>((to - out - 16) / 32);
}

/**
 * Local maxima above their limits that a matched filter confirms, in `rows` rows of blocks from `first`, whose number is `row0`; three rows before and after must be there.
 * Returns how many there are; to `out`: the number of spikes met (an integer of 32 bits, and 12 bytes of nothing), then for each peak 8 floats:
 *
 *   0 column    1 row    2, 3 place of the top beside the block, in columns and rows
 *   4 flux, value x blocks    5 signal to noise against the sky    6 the same against the ring about the peak    7 that ring above the sky, in units of noise
 *
 * `levels`, `noises` (floats) and `limits` (the type of the values): one for every 8 columns; `noises` are those of a pixel, `quiet` what averaging leaves of them.
 * `filter`: 25 weights, their sum and the sum of their squares. `spikeRatio` > 0: peaks higher than `spikeAbove` sd are tested for being spikes, and peaks as high
 * that a spike beside them hides are found with sky in its place.
 */
export function searchRows(
  first: usize,
  isFloat: bool,
  columns: i32,
  stride: i32,
  row0: i32,
  rows: i32,
  levels: usize,
  noises: usize,
  limits: usize,
  filter: usize,
  quiet: f64,
  threshold: f64,
  spikeRatio: f64,
  spikeAbove: f64,
  out: usize,
): i32 {
  return isFloat
    ? search<f32>(
        first,
        columns,
        stride,
        row0,
        rows,
        levels,
        noises,
        limits,
        filter,
        <f32>quiet,
        <f32>threshold,
        <f32>spikeRatio,
        <f32>spikeAbove,
        out,
      )
    : search<u16>(
        first,
        columns,
        stride,
        row0,
        rows,
        levels,
        noises,
        limits,
        filter,
        <f32>quiet,
        <f32>threshold,
        <f32>spikeRatio,
        <f32>spikeAbove,
        out,
      );
}
