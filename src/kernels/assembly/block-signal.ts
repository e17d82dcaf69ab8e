import { greenLanes, load4, load1, sum4 } from './lanes';

function signal<T>(
  pixels: usize,
  width: i32,
  size: i32,
  rowStep: i32,
  parity: i32,
  row: i32,
  columns: i32,
  run: i32,
  levels: usize,
  noises: usize,
  ceiling: f32,
  out: usize,
): void {
  const rowBytes = <usize>width * sizeof<T>();
  const y0 = row * size;
  for (let c0 = 0; c0 < columns; c0 += run) {
    const level = load<f32>(levels);
    const noise = load<f32>(noises);
    levels += 4;
    noises += 4;
    const top = level + ceiling * noise;
    const top4 = f32x4.splat(top);
    const level4 = f32x4.splat(level);
    for (let c = c0; c < min(columns, c0 + run); c += 1) {
      let sums = f32x4.splat(0);
      let counts = i32x4.splat(0);
      let rest: f32 = 0;
      let restCount = 0;
      const x0 = c * size;
      for (let y = y0; y < y0 + size; y += rowStep) {
        const start = parity < 0 ? -1 : (x0 + y + parity) & 1;
        const lanes = greenLanes(start);
        const at = pixels + <usize>y * rowBytes + <usize>x0 * sizeof<T>();
        let i = 0;
        for (; i + 4 <= size; i += 4) {
          const v = load4<T>(at + <usize>i * sizeof<T>());
          const isUsed = sizeof<T>() == 2 ? lanes : v128.and(lanes, f32x4.eq(v, v));
          sums = f32x4.add(sums, v128.and(f32x4.sub(f32x4.pmin(top4, v), level4), isUsed));
          counts = i32x4.sub(counts, isUsed);
        }
        for (; i < size; i += 1) {
          if (start >= 0 && (i & 1) != start) continue;
          const v = load1<T>(at + <usize>i * sizeof<T>());
          if (v != v) continue;
          rest += min(v, top) - level;
          restCount += 1;
        }
      }
      const n =
        restCount +
        i32x4.extract_lane(counts, 0) +
        i32x4.extract_lane(counts, 1) +
        i32x4.extract_lane(counts, 2) +
        i32x4.extract_lane(counts, 3);
      const mean = (<f32>sum4(sums) + rest) / <f32>n;
      store<f32>(out + ((<usize>c) << 2), n > 0 && noise > 0 ? (mean * sqrt(<f32>n)) / noise : 0);
    }
  }
}

/**
 * Mean light above the sky of one row of blocks of `size` pixels (every `rowStep`-th row read), in units of the mean's noise; `columns` floats to `out`.
 * A pixel counts at most `ceiling` sd. `levels`, `noises`: floats, one for every `run` blocks.
 */
export function blockSignal(
  pixels: usize,
  isFloat: bool,
  width: i32,
  size: i32,
  rowStep: i32,
  parity: i32,
  row: i32,
  columns: i32,
  run: i32,
  levels: usize,
  noises: usize,
  ceiling: f64,
  out: usize,
): void {
  if (isFloat)
    signal<f32>(pixels, width, size, rowStep, parity, row, columns, run, levels, noises, <f32>ceiling, out);
  else
    signal<u16>(pixels, width, size, rowStep, parity, row, columns, run, levels, noises, <f32>ceiling, out);
}
