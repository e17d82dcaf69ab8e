import { held } from './lanes';

/*
 * Parts of tile-readings.ts; exported from the module for the tests that compare each with plain loops.
 */

/** Distance of the pixels looked at to judge a pixel's surroundings. */
const RING: i32 = 2;
/** What is not to be counted: above everything. */
const LEFT_OUT: i16 = 0x7fff;
/** Mean of three levels of averages, each rounded up half of the time by half a step. */
const ROUNDED_UP: f64 = 0.75;

/** Whole numbers of 16 bits in signed order, less a base; cut to the range. */
function above(v: v128, base: v128): v128 {
  return i16x8.sub_sat_s(v128.xor(v, i16x8.splat(-0x8000)), base);
}

/** Mean of the eight pixels `RING` columns or rows away. */
function surroundings(at: usize, rowBytes: usize): v128 {
  const side = (<usize>RING) << 1;
  const up = at + <usize>RING * rowBytes;
  const down = at - <usize>RING * rowBytes;
  return i16x8.avgr_u(
    i16x8.avgr_u(
      i16x8.avgr_u(v128.load(down - side), v128.load(up + side)),
      i16x8.avgr_u(v128.load(up - side), v128.load(down + side)),
    ),
    i16x8.avgr_u(
      i16x8.avgr_u(v128.load(down), v128.load(up)),
      i16x8.avgr_u(v128.load(at - side), v128.load(at + side)),
    ),
  );
}

/**
 * Sample of a rectangle of unsigned 16-bit pixels, less the plane r00 + gx (x - x0) + gy (y - y0), as signed 16-bit integers in units of 2^-shift to `out`: every `rowStep`-th row,
 * eight columns at a time as long as they fit. Values out of range are cut to it. Returns how many pixels count; entries of 32767 stand for the others;
 * how many entries there are, a multiple of 8, stands at `out` - 16 (an integer of 32 bits).
 * `parity` >= 0: only pixels with (x + y) mod 2 equal to it count. `isQuiet`: only pixels whose surroundings, the mean of the eight pixels two columns or rows away,
 * are no brighter than that plane + `margin`.
 */
export function gatherWhole(
  pixels: usize,
  width: i32,
  height: i32,
  x0: i32,
  y0: i32,
  x1: i32,
  y1: i32,
  rowStep: i32,
  parity: i32,
  isQuiet: bool,
  margin: f64,
  r00: f64,
  gx: f64,
  gy: f64,
  shift: i32,
  out: usize,
): i32 {
  const rowBytes = (<usize>width) << 1;
  const unit = <f64>(1 << shift);
  const whole = Math.floor(r00);
  const base = held(i16x8.splat(<i16>(<i32>max(<f64>0, min(<f64>65535, whole)) - 0x8000)));
  const most = held(i16x8.splat(<i16>((<i32>0x7ff8) >> shift)));
  const least = held(i16x8.splat(<i16>((<i32>-0x7ff8) >> shift)));
  const ringMargin = held(
    i16x8.splat(<i16>max(<f64>-30000, min(<f64>30000, Math.round((ROUNDED_UP + margin) * unit)))),
  );
  const step = held(f32x4.splat(<f32>(8 * gx * unit)));
  const first = isQuiet ? max(x0, RING) : x0;
  const end = isQuiet ? min(x1, width - RING) : x1;
  let to = out;
  let counts = i16x8.splat(0);
  let chosen = 0;
  for (let y = y0; y < y1; y += rowStep) {
    if (isQuiet && (y < RING || y >= height - RING)) continue;
    let lanes = i16x8.splat(-1);
    if (parity >= 0) lanes = ((first + y) & 1) == parity ? i32x4.splat(0xffff) : i32x4.splat(0xffff0000);
    const start = (r00 - whole + gy * <f64>(y - y0) + gx * <f64>(first - x0)) * unit + 0.5;
    const g = gx * unit;
    let low = f32x4(<f32>start, <f32>(start + g), <f32>(start + 2 * g), <f32>(start + 3 * g));
    let high = f32x4.add(low, f32x4.splat(<f32>(4 * g)));
    counts = i16x8.splat(0);
    let at = pixels + <usize>y * rowBytes + ((<usize>first) << 1);
    for (let x = first; x + 8 <= end; x += 8) {
      const plane = i16x8.narrow_i32x4_s(
        i32x4.trunc_sat_f32x4_s(f32x4.floor(low)),
        i32x4.trunc_sat_f32x4_s(f32x4.floor(high)),
      );
      let isIn = lanes;
      if (isQuiet) {
        const ring = above(surroundings(at, rowBytes), base);
        const limit = i16x8.shr_s(i16x8.add_sat_s(plane, ringMargin), shift);
        isIn = v128.and(isIn, i16x8.le_s(ring, limit));
      }
      const height = i16x8.shl(i16x8.min_s(most, i16x8.max_s(least, above(v128.load(at), base))), shift);
      const value = i16x8.min_s(i16x8.sub_sat_s(height, plane), i16x8.splat(LEFT_OUT - 1));
      v128.store(to, v128.bitselect(value, i16x8.splat(LEFT_OUT), isIn));
      counts = i16x8.sub(counts, isIn);
      low = f32x4.add(low, step);
      high = f32x4.add(high, step);
      at += 16;
      to += 16;
    }
    const pairs = i32x4.extadd_pairwise_i16x8_u(counts);
    chosen +=
      i32x4.extract_lane(pairs, 0) +
      i32x4.extract_lane(pairs, 1) +
      i32x4.extract_lane(pairs, 2) +
      i32x4.extract_lane(pairs, 3);
  }
  store<i32>(out - 16, <i32>((to - out) >> 1));
  return chosen;
}

/** How many entries are under a value. */
function countBelow(sample: usize, entries: i32, value: i32): i32 {
  const limit = i16x8.splat(<i16>value);
  let counts = i16x8.splat(0);
  const end = sample + ((<usize>entries) << 1);
  for (let at = sample; at < end; at += 16) counts = i16x8.sub(counts, i16x8.lt_s(v128.load(at), limit));
  const pairs = i32x4.extadd_pairwise_i16x8_u(counts);
  return (
    i32x4.extract_lane(pairs, 0) +
    i32x4.extract_lane(pairs, 1) +
    i32x4.extract_lane(pairs, 2) +
    i32x4.extract_lane(pairs, 3)
  );
}

/**
 * The value under which `rank` (at least 0, less than the number that count) of a sample's entries lie, between its steps and its entries by straight lines: good to a small part of `spread`.
 * `guess`, `spread`: about where it may be, and about the standard deviation of the entries.
 */
export function wholeQuantile(sample: usize, entries: i32, rank: f64, guess: f64, spread: f64): f64 {
  const close = max(1, <i32>(spread / 8));
  let trial = <i32>max(<f64>-32767, min(<f64>32766, Math.round(guess)));
  let low = -0x8000;
  let high = 0x7fff;
  let belowLow = 0;
  let belowHigh = -1;
  let stride = max(1, <i32>(spread / 4));
  for (let turn = 0; high - low > close; turn += 1) {
    const below = countBelow(sample, entries, trial);
    if (<f64>below > rank) {
      high = trial;
      belowHigh = below;
    } else {
      low = trial;
      belowLow = below;
    }
    if (belowHigh < 0) {
      trial = min(high - 1, trial + stride);
      if (trial <= low) break;
      stride *= 2;
    } else if (low == -0x8000) {
      trial = max(low + 1, trial - stride);
      stride *= 2;
    } else {
      const part = (turn & 3) == 3 ? 0.5 : (rank + 0.5 - <f64>belowLow) / <f64>(belowHigh - belowLow);
      trial = max(low + 1, min(high - 1, low + <i32>Math.round(part * <f64>(high - low))));
    }
    if (trial <= low || trial >= high) break;
  }
  if (belowHigh < 0) return <f64>high;
  const part = (rank + 0.5 - <f64>belowLow) / <f64>(belowHigh - belowLow);
  return <f64>low - 0.5 + max(<f64>0, min(<f64>1, part)) * <f64>(high - low);
}

/** Number, sum and sum of squares of (entry - centre) over the entries in [low, high]: three doubles to `out`. */
export function wholeSums(sample: usize, entries: i32, centre: f64, low: f64, high: f64, out: usize): void {
  const middle = Math.round(max(<f64>-32000, min(<f64>32000, centre)));
  const c = held(i16x8.splat(<i16>(<i32>middle)));
  const from = held(i16x8.splat(<i16>(<i32>max(<f64>-32768, min(<f64>32767, Math.ceil(low))))));
  const to = held(i16x8.splat(<i16>(<i32>max(<f64>-32768, min(<f64>32766, Math.floor(high))))));
  const ones = i16x8.splat(1);
  let counts = i16x8.splat(0);
  let sums = i32x4.splat(0);
  // Whole numbers to the end: where a bound lies next to one, rounding would take its pixels in or leave them out.
  let squares = i64x2.splat(0);
  const end = sample + ((<usize>entries) << 1);
  for (let at = sample; at < end; at += 16) {
    const v = v128.load(at);
    const isIn = v128.and(i16x8.ge_s(v, from), i16x8.le_s(v, to));
    const d = v128.and(i16x8.sub_sat_s(v, c), isIn);
    counts = i16x8.sub(counts, isIn);
    sums = i32x4.add(sums, i32x4.dot_i16x8_s(d, ones));
    const square = i32x4.dot_i16x8_s(d, d);
    squares = i64x2.add(
      squares,
      i64x2.add(i64x2.extend_low_i32x4_u(square), i64x2.extend_high_i32x4_u(square)),
    );
  }
  const pairs = i32x4.extadd_pairwise_i16x8_u(counts);
  const n = <f64>(
    (i32x4.extract_lane(pairs, 0) +
      i32x4.extract_lane(pairs, 1) +
      i32x4.extract_lane(pairs, 2) +
      i32x4.extract_lane(pairs, 3))
  );
  const sum = <f64>(
    (i32x4.extract_lane(sums, 0) +
      i32x4.extract_lane(sums, 1) +
      i32x4.extract_lane(sums, 2) +
      i32x4.extract_lane(sums, 3))
  );
  const off = middle - centre;
  store<f64>(out, n);
  store<f64>(out + 8, sum + n * off);
  const square = <f64>(i64x2.extract_lane(squares, 0) + i64x2.extract_lane(squares, 1));
  store<f64>(out + 16, square + 2 * off * sum + n * off * off);
}
