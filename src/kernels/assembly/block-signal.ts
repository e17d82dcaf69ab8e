/** Values that share a reading of the sky. */
const RUN: i32 = 8;

/** Light above the sky of each column of `rows` rows, no value counting more than its limit, nor a blank at all. */
function columnSums<T>(
  first: usize,
  stride: i32,
  columns: i32,
  rows: i32,
  levels: usize,
  tops: usize,
  out: usize,
): void {
  const rowBytes = <usize>stride * sizeof<T>();
  for (let c = 0; c < columns; c += RUN) {
    const column = first + <usize>c * sizeof<T>();
    const run = <usize>(c / RUN);
    const level = load<f32>(levels + (run << 2));
    let low = f32x4.splat(0);
    let high = f32x4.splat(0);
    if (sizeof<T>() == 2) {
      const top = v128.load16_splat(tops + (run << 1));
      let lowSum = i32x4.splat(0);
      let highSum = i32x4.splat(0);
      for (let j = 0; j < rows; j += 1) {
        const v = i16x8.min_u(v128.load(column + <usize>j * rowBytes), top);
        lowSum = i32x4.add(lowSum, i32x4.extend_low_i16x8_u(v));
        highSum = i32x4.add(highSum, i32x4.extend_high_i16x8_u(v));
      }
      const sky = f32x4.splat(level * <f32>rows);
      low = f32x4.sub(f32x4.convert_i32x4_s(lowSum), sky);
      high = f32x4.sub(f32x4.convert_i32x4_s(highSum), sky);
    } else {
      const top = v128.load32_splat(tops + (run << 2));
      const sky = f32x4.splat(level);
      for (let j = 0; j < rows; j += 1) {
        const at = column + <usize>j * rowBytes;
        const a = v128.load(at);
        const b = v128.load(at, 16);
        low = f32x4.add(low, v128.and(f32x4.sub(f32x4.pmin(top, a), sky), f32x4.eq(a, a)));
        high = f32x4.add(high, v128.and(f32x4.sub(f32x4.pmin(top, b), sky), f32x4.eq(b, b)));
      }
    }
    v128.store(out, low);
    v128.store(out, high, 16);
    out += 32;
  }
}

/**
 * Mean light above the sky of one row of blocks of `size` x `size` values, in units of that mean's noise: floats to `out`, as many as fit into `columns` values.
 * `levels`, `noises` (floats), `tops` (the type of the values; a value counts for no more): one for every 8 values; `quiet` x noise is that of a value.
 * Blank values count as sky. `room`: for `columns` floats and seven more.
 */
export function blockSignal(
  first: usize,
  isFloat: bool,
  stride: i32,
  columns: i32,
  size: i32,
  levels: usize,
  noises: usize,
  tops: usize,
  quiet: f64,
  room: usize,
  out: usize,
): void {
  if (isFloat) columnSums<f32>(first, stride, columns, size, levels, tops, room);
  else columnSums<u16>(first, stride, columns, size, levels, tops, room);
  const blocks = columns / size;
  // The mean of size^2 values has the noise of one over size.
  const perNoise = <f32>1 / (<f32>size * <f32>quiet);
  for (let b = 0; b < blocks; b += 1) {
    let sum: f32 = 0;
    for (let i = 0; i < size; i += 1) {
      sum += load<f32>(room);
      room += 4;
    }
    const noise = load<f32>(noises + ((<usize>((b * size + (size >> 1)) / RUN)) << 2));
    store<f32>(out, noise > 0 ? (sum * perNoise) / noise : 0);
    out += 4;
  }
}
