import { wholeCore } from './normal-core';
import { gatherWhole, wholeQuantile } from './whole-sample';

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
  store<f64>(out, median + origin);
  store<f64>(out, quartile + origin, 8);
  wholeCore(sample, entries, median, sdPerQuartile * (median - quartile), cut, out + 16);
  store<f64>(out, load<f64>(out, 16) + origin, 16);
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
  wholeCore(sample, load<i32>(sample - 16), 0, startSd * unit, cut, out);
  store<f64>(out, load<f64>(out) / unit);
  store<f64>(out, load<f64>(out, 8) / unit, 8);
  return n;
}
