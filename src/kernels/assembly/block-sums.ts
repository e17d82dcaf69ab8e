import { load1, load4 } from './lanes';

/** Sum and number of the pixels of each column over the rows of `stride` bytes from `first` to before `end`: lines of `used` floats. */
function columnSums<T>(first: usize, end: usize, stride: usize, used: i32, sums: usize, counts: usize): void {
  const rows = <f32>((end - first + stride - 1) / stride);
  const zero = f32x4.splat(0);
  const one = f32x4.splat(1);
  let x = 0;
  for (; x + 4 <= used; x += 4) {
    const top = first + <usize>x * sizeof<T>();
    let sum = zero;
    let count = zero;
    if (sizeof<T>() == 2) {
      for (let at = top; at < end; at += stride) sum = i32x4.add(sum, v128.load_ext<u16>(at));
      sum = f32x4.convert_i32x4_u(sum);
      count = f32x4.splat(rows);
    } else {
      for (let at = top; at < end; at += stride) {
        const v = load4<T>(at);
        // Blank and infinite values differ from themselves by no number.
        const isUsed = f32x4.eq(f32x4.sub(v, v), zero);
        sum = f32x4.add(sum, v128.and(v, isUsed));
        count = f32x4.add(count, v128.and(one, isUsed));
      }
    }
    v128.store(sums + ((<usize>x) << 2), sum);
    v128.store(counts + ((<usize>x) << 2), count);
  }
  for (; x < used; x += 1) {
    let sum: f32 = 0;
    let count: f32 = 0;
    for (let at = first + <usize>x * sizeof<T>(); at < end; at += stride) {
      const v = load1<T>(at);
      if (v - v != 0) continue;
      sum += v;
      count += 1;
    }
    store<f32>(sums + ((<usize>x) << 2), sum);
    store<f32>(counts + ((<usize>x) << 2), count);
  }
}

/** Sums of the entries x0, x0 + 2, ... and x0 + 1, x0 + 3, ... of a line, below x1: two doubles. */
function alternateSums(line: usize, x0: i32, x1: i32, out: usize): void {
  let sums = f32x4.splat(0);
  let x = x0;
  for (; x + 4 <= x1; x += 4) sums = f32x4.add(sums, v128.load(line + ((<usize>x) << 2)));
  let even = <f64>f32x4.extract_lane(sums, 0) + <f64>f32x4.extract_lane(sums, 2);
  let odd = <f64>f32x4.extract_lane(sums, 1) + <f64>f32x4.extract_lane(sums, 3);
  if (x < x1) even += <f64>load<f32>(line + ((<usize>x) << 2));
  if (x + 1 < x1) odd += <f64>load<f32>(line + ((<usize>x) << 2) + 4);
  if (x + 2 < x1) even += <f64>load<f32>(line + ((<usize>x) << 2) + 8);
  store<f64>(out, even);
  store<f64>(out + 8, odd);
}

/**
 * Sums over the blocks of one row of blocks, `size` columns each (the last may be narrower): of the rows `y0`, `y0 + rowStep`, ... below `y1`,
 * four doubles a block to `out`: sum over its even columns (counted from its left edge) and over its odd ones, then how many pixels each has.
 * Blank and infinite pixels do not count. `used`: columns that belong to a block; `line`: room for twice as many floats.
 */
export function blockSums(
  pixels: usize,
  isFloat: bool,
  width: i32,
  y0: i32,
  y1: i32,
  rowStep: i32,
  size: i32,
  used: i32,
  line: usize,
  out: usize,
): void {
  const counts = line + ((<usize>used) << 2);
  const rowBytes = (<usize>width) << (isFloat ? 2 : 1);
  const first = pixels + <usize>y0 * rowBytes;
  const end = pixels + <usize>y1 * rowBytes;
  const stride = <usize>rowStep * rowBytes;
  if (isFloat) columnSums<f32>(first, end, stride, used, line, counts);
  else columnSums<u16>(first, end, stride, used, line, counts);
  for (let x0 = 0; x0 < used; x0 += size) {
    const x1 = min(used, x0 + size);
    alternateSums(line, x0, x1, out);
    alternateSums(counts, x0, x1, out + 16);
    out += 32;
  }
}
