import { highest4, lowest4, sum4 } from './lanes';

/** Entries below a trial value, and the values next to it: results of the last `split`. */
let below: i32 = 0;
let highestBelow: f32 = 0;
let lowestFrom: f32 = 0;

/** Counts the entries under `trial`. The array is padded to a multiple of 4 with +Infinity. */
function split(values: usize, count: i32, trial: f32): void {
  const limit = f32x4.splat(trial);
  let counts = i32x4.splat(0);
  let low = f32x4.splat(-Infinity);
  let high = f32x4.splat(Infinity);
  const end = values + ((<usize>count) << 2);
  for (let at = values; at < end; at += 16) {
    const v = v128.load(at);
    const isBelow = f32x4.lt(v, limit);
    counts = i32x4.sub(counts, isBelow);
    low = f32x4.max(low, v128.bitselect(v, f32x4.splat(-Infinity), isBelow));
    high = f32x4.min(high, v128.bitselect(f32x4.splat(Infinity), v, isBelow));
  }
  below =
    i32x4.extract_lane(counts, 0) +
    i32x4.extract_lane(counts, 1) +
    i32x4.extract_lane(counts, 2) +
    i32x4.extract_lane(counts, 3);
  highestBelow = highest4(low);
  lowestFrom = lowest4(high);
}

function pad(values: usize, count: i32): void {
  for (let i = count; i & 3; i += 1) store<f32>(values + ((<usize>i) << 2), Infinity);
}

/** Middle one of three. */
function middle(a: f32, b: f32, c: f32): f32 {
  return max(min(a, b), min(max(a, b), c));
}

/** About the spread of the entries, as `guess` saw it. */
let guessedSpread: f32 = 0;

/** A value not far from the median: middle of the middles of nine entries spread over the array. */
function guess(values: usize, count: i32): f32 {
  const step = (<usize>(count / 9)) << 2;
  const a = middle(load<f32>(values), load<f32>(values + step), load<f32>(values + 2 * step));
  const at = values + 3 * step;
  const b = middle(load<f32>(at), load<f32>(at + step), load<f32>(at + 2 * step));
  const last = at + 3 * step;
  const c = middle(load<f32>(last), load<f32>(last + step), load<f32>(last + 2 * step));
  guessedSpread = max(a, max(b, c)) - min(a, min(b, c));
  return middle(a, b, c);
}

/**
 * The k-th smallest of `count` floats, k near the middle: bounds that are values themselves close in on it. The first two trials are guesses from a few entries (the extremes are stars), the
 * next interpolate between the counts, every fourth halves the interval. The last split is beside the value found: it is the lowest from there, or the highest below.
 */
function select(values: usize, count: i32, k: i32): f32 {
  let least = f32x4.splat(Infinity);
  let most = f32x4.splat(-Infinity);
  const end = values + ((<usize>(count & ~3)) << 2);
  for (let at = values; at < end; at += 16) {
    const v = v128.load(at);
    least = f32x4.min(least, v);
    most = f32x4.max(most, v);
  }
  let low = lowest4(least);
  let high = highest4(most);
  for (let i = count & ~3; i < count; i += 1) {
    const v = load<f32>(values + ((<usize>i) << 2));
    low = min(low, v);
    high = max(high, v);
  }
  const first = count >= 9 ? guess(values, count) : low;
  let belowLow = 0;
  let belowHigh = count;
  below = -1;
  for (let turn = 0; low < high; turn += 1) {
    let trial = first;
    // A normal distribution has 0.4 of its entries per standard deviation in its middle.
    if (turn == 1) trial = first + <f32>2.5 * guessedSpread * (<f32>(k - below) / <f32>count);
    else if (turn > 1) {
      const part: f32 = turn % 4 == 3 ? 0.5 : (<f32>(k - belowLow) + <f32>0.5) / <f32>(belowHigh - belowLow);
      trial = low + (high - low) * part;
    }
    if (!(trial > low && trial <= high)) trial = low + (high - low) * <f32>0.5;
    if (!(trial > low)) trial = high;
    split(values, count, trial);
    if (below == k) return lowestFrom;
    if (below == k + 1) return highestBelow;
    if (below > k) {
      high = highestBelow;
      belowHigh = below;
    } else {
      low = lowestFrom;
      belowLow = below;
    }
  }
  return low;
}

/** Median of the first `count` floats (not reordered; room for three more behind them); the mean of the middle two when their number is even. NaN for none. */
export function median(values: usize, count: i32): f64 {
  if (count == 0) return NaN;
  pad(values, count);
  const upper = select(values, count, count >> 1);
  if (count & 1) return upper;
  // The search may have ended between the two.
  if (below != count >> 1) split(values, count, upper);
  const lower = below == count >> 1 ? highestBelow : upper;
  return (<f64>lower + <f64>upper) / 2;
}

/** Median distance of the entries at or under `centre` from it: a spread that light on top of the sky does not widen. Uses `room` for as many floats. */
export function medianBelow(values: usize, count: i32, centre: f64, room: usize): f64 {
  let n = 0;
  const c = <f32>centre;
  for (let i = 0; i < count; i += 1) {
    const v = load<f32>(values + ((<usize>i) << 2));
    if (v > c) continue;
    store<f32>(room + ((<usize>n) << 2), c - v);
    n += 1;
  }
  return median(room, n);
}

/** Number, sum and sum of squares of (value - centre) over the entries in [low, high]: three doubles to `out`. */
export function sumsWithin(values: usize, count: i32, centre: f64, low: f64, high: f64, out: usize): void {
  const c = f32x4.splat(<f32>centre);
  const from = f32x4.splat(<f32>low);
  const to = f32x4.splat(<f32>high);
  pad(values, count);
  let counts = i32x4.splat(0);
  let sums = f32x4.splat(0);
  let squares = f32x4.splat(0);
  const end = values + ((<usize>count) << 2);
  for (let at = values; at < end; at += 16) {
    const v = v128.load(at);
    const isIn = v128.and(f32x4.ge(v, from), f32x4.le(v, to));
    const d = v128.and(f32x4.sub(v, c), isIn);
    counts = i32x4.sub(counts, isIn);
    sums = f32x4.add(sums, d);
    squares = f32x4.add(squares, f32x4.mul(d, d));
  }
  const n =
    i32x4.extract_lane(counts, 0) +
    i32x4.extract_lane(counts, 1) +
    i32x4.extract_lane(counts, 2) +
    i32x4.extract_lane(counts, 3);
  store<f64>(out, <f64>n);
  store<f64>(out + 8, sum4(sums));
  store<f64>(out + 16, sum4(squares));
}
