import { load1, load4 } from './lanes';

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

function scan<T>(row: usize, stride: i32, columns: i32, halo: i32, run: i32, limits: usize, out: usize): i32 {
  const strideBytes = <usize>stride * sizeof<T>();
  const last = columns - halo;
  let n = 0;
  for (let c0 = 0; c0 < last; c0 += run) {
    const limit = load<f32>(limits);
    limits += 4;
    const limit4 = f32x4.splat(limit);
    const end = min(last, c0 + run);
    for (let c = c0; c < end; c += 4) {
      const at = row + <usize>c * sizeof<T>();
      let hits = i32x4.bitmask(f32x4.gt(load4<T>(at), limit4));
      while (hits != 0) {
        const lane = ctz(hits);
        hits &= hits - 1;
        const column = c + lane;
        if (column < halo || column >= end) continue;
        const here = at + <usize>lane * sizeof<T>();
        if (!isLocalMaximum<T>(here, strideBytes, load1<T>(here))) continue;
        store<i32>(out + ((<usize>n) << 2), column);
        n += 1;
      }
    }
  }
  return n;
}

/**
 * Columns (halo..columns-halo-1) of one row whose value is a local maximum above its limit, 32-bit integers to `out`; returns how many.
 * `limits`: floats, one for every `run` columns (a multiple of 4). The rows before and after must be there.
 */
export function localMaxima(
  row: usize,
  isFloat: bool,
  stride: i32,
  columns: i32,
  halo: i32,
  run: i32,
  limits: usize,
  out: usize,
): i32 {
  return isFloat
    ? scan<f32>(row, stride, columns, halo, run, limits, out)
    : scan<u16>(row, stride, columns, halo, run, limits, out);
}
