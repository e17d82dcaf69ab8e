import { gatherWhole, wholeQuantile, wholeSums } from './whole-sample';

const sumsAt: usize = memory.data(24, 16);
const MOST_ROUNDS: i32 = 12;

let mean: f64 = 0;
let sd: f64 = 0;

function within(value: f64, most: f64): f64 {
  return max(-most, min(most, value));
}

/** `normalCoreOf` of the stats folder, over a sample, from and to the present `mean` and `sd`; returns how many entries it used. */
function findCore(sample: usize, entries: i32, cut: usize): i32 {
  const below = load<f64>(cut);
  const above = load<f64>(cut, 8);
  const wholeSteps = <i32>load<f64>(cut, 72);
  let used = 0;
  for (let round = 0; round < MOST_ROUNDS; round += 1) {
    wholeSums(sample, entries, mean, mean - below * sd, mean + above * sd, sumsAt);
    const n = load<f64>(sumsAt);
    used = <i32>n;
    if (used < 8 || !(sd > 0)) break;
    const inMean = load<f64>(sumsAt, 8) / n;
    const inVariance = load<f64>(sumsAt, 16) / n - inMean * inMean;
    if (!(inVariance > 0)) break;
    const dMean = inMean / sd - load<f64>(cut, 16);
    const dVariance = inVariance / (sd * sd) - load<f64>(cut, 24);
    const part: f64 = round < wholeSteps ? 1 : 0.5;
    const shift =
      sd * within(part * (load<f64>(cut, 32) * dMean + load<f64>(cut, 40) * dVariance), load<f64>(cut, 80));
    const x = within(
      part * (load<f64>(cut, 48) * dMean + load<f64>(cut, 56) * dVariance),
      load<f64>(cut, 88),
    );
    const stretch = 1 + x + (x * x) / 2;
    const change = abs(shift) + abs(stretch - 1) * sd;
    mean += shift;
    sd *= stretch;
    if (change < (load<f64>(cut, 64) / Math.sqrt(n)) * sd) break;
  }
  return used;
}

/**
 * First reading of a tile of unsigned 16-bit pixels (see `gatherWhole`): doubles to `out`: median, lower quartile, and mean, sd and number used of the normal core that starts
 * from these two; returns how many pixels were sampled. `guess`, `spread`: about where median and sd may be. `cut`: `coreNumbers` of the stats folder.
 * `sample`: room for the entries, with 16 bytes before it.
 */
export function readCoarseTile(
  pixels: usize,
  width: i32,
  height: i32,
  x0: i32,
  y0: i32,
  x1: i32,
  y1: i32,
  rowStep: i32,
  parity: i32,
  guess: f64,
  spread: f64,
  sdPerQuartile: f64,
  cut: usize,
  sample: usize,
  out: usize,
): i32 {
  // From the middle of the range every value can be told.
  const origin: f64 = 0x8000;
  const n = gatherWhole(
    pixels,
    width,
    height,
    x0,
    y0,
    x1,
    y1,
    rowStep,
    parity,
    false,
    0,
    origin,
    0,
    0,
    0,
    sample,
  );
  const entries = load<i32>(sample - 16);
  if (n < 2) return n;
  const median = wholeQuantile(sample, entries, (<f64>n - 1) / 2, guess - origin, spread);
  const quartile = wholeQuantile(sample, entries, (<f64>n - 1) / 4, median - 0.67 * spread, spread);
  mean = median;
  sd = sdPerQuartile * (median - quartile);
  const used = findCore(sample, entries, cut);
  store<f64>(out, median + origin);
  store<f64>(out, quartile + origin, 8);
  store<f64>(out, mean + origin, 16);
  store<f64>(out, sd, 24);
  store<f64>(out, <f64>used, 32);
  return n;
}

/**
 * Normal core of a tile of unsigned 16-bit pixels less a plane (see `gatherWhole`), starting from mean 0 and `startSd`: doubles to `out`: mean, sd, number used; returns how many pixels counted.
 */
export function readTileCore(
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
  r00: f64,
  gx: f64,
  gy: f64,
  shift: i32,
  startSd: f64,
  cut: usize,
  sample: usize,
  out: usize,
): i32 {
  const n = gatherWhole(
    pixels,
    width,
    height,
    x0,
    y0,
    x1,
    y1,
    rowStep,
    parity,
    isQuiet,
    0,
    r00,
    gx,
    gy,
    shift,
    sample,
  );
  const unit = <f64>(1 << shift);
  mean = 0;
  sd = startSd * unit;
  const used = findCore(sample, load<i32>(sample - 16), cut);
  store<f64>(out, mean / unit);
  store<f64>(out, sd / unit, 8);
  store<f64>(out, <f64>used, 16);
  return n;
}
