import { held, load4 } from './lanes';
import { isSpike } from './spike';

/** Four values of a window: stored pixels times scale plus offset, worked out in 64 bits and rounded once. */
function valuesAt<T>(at: usize, scale: v128, offset: v128): v128 {
  if (sizeof<T>() == 2) {
    const whole = v128.load_ext<u16>(at);
    const low = f64x2.convert_low_i32x4_u(whole);
    const high = f64x2.convert_low_i32x4_u(v128.shuffle<u32>(whole, whole, 2, 3, 2, 3));
    return both(low, high, scale, offset);
  }
  const v = load4<T>(at);
  return both(
    f64x2.promote_low_f32x4(v),
    f64x2.promote_low_f32x4(v128.shuffle<u32>(v, v, 2, 3, 2, 3)),
    scale,
    offset,
  );
}

function both(low: v128, high: v128, scale: v128, offset: v128): v128 {
  const a = f32x4.demote_f64x2_zero(f64x2.add(f64x2.mul(low, scale), offset));
  const b = f32x4.demote_f64x2_zero(f64x2.add(f64x2.mul(high, scale), offset));
  return v128.shuffle<u32>(a, b, 0, 1, 4, 5);
}

/** Four values of a window whose scale is 1: whole numbers as far as they go, so that next to nothing is lost. */
function unscaled(at: usize, base: v128, rest: v128): v128 {
  return f32x4.sub(f32x4.convert_i32x4_s(i32x4.sub(v128.load_ext<u16>(at), base)), rest);
}

function gather<T>(
  pixels: usize,
  width: i32,
  x0: i32,
  y0: i32,
  columns: i32,
  rows: i32,
  scale: f64,
  offset: f64,
  parity: i32,
  values: usize,
  usable: usize,
): i32 {
  const scale2 = held(f64x2.splat(scale));
  const offset2 = held(f64x2.splat(offset));
  const whole = Math.floor(-offset);
  const base = held(i32x4.splat(<i32>whole));
  const rest = held(f32x4.splat(<f32>(-offset - whole)));
  const isUnscaled = sizeof<T>() == 2 && scale == 1 && abs(offset) < 1e6;
  let blanks = 0;
  for (let j = 0; j < rows; j += 1) {
    const row = pixels + <usize>((y0 + j) * width + x0) * sizeof<T>();
    const to = values + ((<usize>(j * columns)) << 2);
    // Rows follow each other without gaps: what a vector writes past the end of one is written over by the next.
    if (isUnscaled)
      for (let i = 0; i < columns; i += 4)
        v128.store(to + ((<usize>i) << 2), unscaled(row + <usize>i * sizeof<T>(), base, rest));
    else
      for (let i = 0; i < columns; i += 4)
        v128.store(to + ((<usize>i) << 2), valuesAt<T>(row + <usize>i * sizeof<T>(), scale2, offset2));
  }
  const count = columns * rows;
  if (parity < 0) memory.fill(usable, 1, count);
  else {
    for (let j = 0; j < rows; j += 1) {
      for (let i = 0; i < columns; i += 1)
        store<u8>(usable + j * columns + i, ((x0 + y0 + i + j) & 1) == parity ? 1 : 0);
    }
  }
  if (sizeof<T>() == 2) return 0;
  for (let k = 0; k < count; k += 1) {
    const at = values + ((<usize>k) << 2);
    const v = load<f32>(at);
    if (v == v) continue;
    store<f32>(at, 0);
    store<u8>(usable + k, 0);
    blanks += 1;
  }
  return blanks;
}

/**
 * A window out of a plane of `width` columns: `columns` x `rows` pixels from (x0, y0) on, times `scale` plus `offset`, as floats to `values` (row-major, 12 bytes past the end
 * are written over), and to `usable` 1 where a pixel counts: not blank, and of parity `parity` (-1: all). Blank pixels read 0; returns how many.
 */
export function gatherWindow(
  pixels: usize,
  isFloat: bool,
  width: i32,
  x0: i32,
  y0: i32,
  columns: i32,
  rows: i32,
  scale: f64,
  offset: f64,
  parity: i32,
  values: usize,
  usable: usize,
): i32 {
  return isFloat
    ? gather<f32>(pixels, width, x0, y0, columns, rows, scale, offset, parity, values, usable)
    : gather<u16>(pixels, width, x0, y0, columns, rows, scale, offset, parity, values, usable);
}

/**
 * Take from use the spikes of a window: pixels off its border higher than `limit` that are spikes by `isSpike`.
 */
export function maskSpikes(
  values: usize,
  usable: usize,
  width: i32,
  height: i32,
  limit: f64,
  noise: f64,
  ratio: f64,
  isMosaic: bool,
): void {
  const limit4 = f32x4.splat(<f32>limit);
  const rowBytes = (<usize>width) << 2;
  for (let j = 1; j < height - 1; j += 1) {
    const end = j * width + width - 1;
    for (let k = j * width + 1; k < end; k += 4) {
      if (!v128.any_true(f32x4.ge(v128.load(values + ((<usize>k) << 2)), limit4))) continue;
      const last = min(end, k + 4);
      for (let n = k; n < last; n += 1) {
        const at = values + ((<usize>n) << 2);
        if (<f64>load<f32>(at) > limit && isSpike<f32>(at, rowBytes, 0, <f32>noise, <f32>ratio, isMosaic))
          store<u8>(usable + n, 0);
      }
    }
  }
}
