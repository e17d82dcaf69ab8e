import { sumsWithin } from './order-statistics';
import { wholeSums } from './whole-sample';

/*
 * Mean and standard deviation of the normal distribution behind a sample that carries extra light on its high side.
 *
 * Only entries between mean - below sd and mean + above sd are used; mean and sd are those of the normal whose part inside the bounds has the mean and variance found there
 * (moments of the truncated normal: Johnson, Kotz & Balakrishnan, Continuous Univariate Distributions 1, section 13.10; Newton's method), and the bounds follow until they rest.
 * Fewer than 8 entries inside the bounds, or a spread of zero: mean and sd stay as they are.
 * `cut`: `coreNumbers` of the stats folder.
 */

const MOST_ROUNDS: i32 = 12;
/** Fewer entries than this tell no spread. */
const FEWEST: f64 = 8;
const sumsAt: usize = memory.data(24, 16);

let mean: f64 = 0;
let sd: f64 = 0;

function within(value: f64, most: f64): f64 {
  return max(-most, min(most, value));
}

/** One step from the sums inside the bounds, which stand at `sumsAt`; false where it is the last. */
function step(round: i32, cut: usize): bool {
  const n = load<f64>(sumsAt);
  if (n < FEWEST || !(sd > 0)) return false;
  const inMean = load<f64>(sumsAt, 8) / n;
  const inVariance = load<f64>(sumsAt, 16) / n - inMean * inMean;
  if (!(inVariance > 0)) return false;
  const dMean = inMean / sd - load<f64>(cut, 16);
  const dVariance = inVariance / (sd * sd) - load<f64>(cut, 24);
  const part: f64 = round < <i32>load<f64>(cut, 72) ? 1 : 0.5;
  const shift =
    sd * within(part * (load<f64>(cut, 32) * dMean + load<f64>(cut, 40) * dVariance), load<f64>(cut, 80));
  const x = within(part * (load<f64>(cut, 48) * dMean + load<f64>(cut, 56) * dVariance), load<f64>(cut, 88));
  const stretch = 1 + x + (x * x) / 2;
  const change = abs(shift) + abs(stretch - 1) * sd;
  mean += shift;
  sd *= stretch;
  return !(change < (load<f64>(cut, 64) / Math.sqrt(n)) * sd);
}

/** Mean and sd from a first guess on: three doubles to `out`: mean, sd, and how many entries were used. */
function find(
  isWhole: bool,
  sample: usize,
  entries: i32,
  startMean: f64,
  startSd: f64,
  cut: usize,
  out: usize,
): void {
  mean = startMean;
  sd = startSd;
  for (let round = 0; round < MOST_ROUNDS; round += 1) {
    const low = mean - load<f64>(cut) * sd;
    const high = mean + load<f64>(cut, 8) * sd;
    if (isWhole) wholeSums(sample, entries, mean, low, high, sumsAt);
    else sumsWithin(sample, entries, mean, low, high, sumsAt);
    if (!step(round, cut)) break;
  }
  store<f64>(out, mean);
  store<f64>(out, sd, 8);
  store<f64>(out, load<f64>(sumsAt), 16);
}

/** Normal core of `count` floats at `values` (room for three more behind them): see `find`. */
export function normalCore(
  values: usize,
  count: i32,
  startMean: f64,
  startSd: f64,
  cut: usize,
  out: usize,
): void {
  find(false, values, count, startMean, startSd, cut, out);
}

/** The same of a sample of `gatherWhole`. */
export function wholeCore(
  sample: usize,
  entries: i32,
  startMean: f64,
  startSd: f64,
  cut: usize,
  out: usize,
): void {
  find(true, sample, entries, startMean, startSd, cut, out);
}
