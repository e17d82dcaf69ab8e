import { fitPixels, lineOf, RESIDUAL } from './fit-pixels';
import { held } from './lanes';
import { addProducts, CHUNK, LINE, rowsAt } from './line-products';
import { entry } from './numbers';

/** Orders 0 to 19 at most. */
const togetherAt: usize = memory.data(16 * 20, 16);
const alongAt: usize = memory.data(16 * 20, 16);
const acrossAt: usize = memory.data(16 * 20, 16);

/** Chebyshev polynomials of orders 0 to `highest` at t, as vectors from `to` on. */
function chebyshev(t: v128, highest: i32, to: usize): void {
  const twice = f32x4.add(t, t);
  v128.store(to, f32x4.splat(1));
  v128.store(to + 16, t);
  for (let k = 2; k <= highest; k += 1) {
    const at = to + ((<usize>k) << 4);
    v128.store(at, f32x4.sub(f32x4.mul(twice, v128.load(at - 16)), v128.load(at - 32)));
  }
}

function polynomial(from: usize, order: i32): v128 {
  return v128.load(from + ((<usize>order) << 4));
}

/**
 * Sums of products over the pixels of one star, after `moffatSums` on them with the same `pixels`, `stride`, `count` and `work`: of the derivatives by its first `own` parameters, the terms of its core and, last, the residual, all times `perTop`.
 *
 * Terms at squared distances p (along the long axis) and q (across), in half-widths: Chebyshev polynomials on 0..reach of p + q, orders 0 to `order`; where `isSplit`, products of those of p (order k - j) and q (j), for k to `order`, j to k; then the
 * sum of polynomials of p + q with the `seeingCount` coefficients at `seeing`. Beyond `reach` they are 0; with `own` 0 such pixels are left out altogether. Doubles at `frame`: x, y of the star in the pixels' columns and rows;
 * long axis (x, y) over half the width along it; short axis likewise; reach.
 * Adds to `sums` (doubles): lower half of the matrix, row after row. Returns how many pixels took part.
 */
export function coreSums(
  pixelsAt: usize,
  stride: i32,
  count: i32,
  work: usize,
  own: i32,
  frame: usize,
  perTop: f64,
  isSplit: i32,
  order: i32,
  seeing: usize,
  seeingCount: i32,
  sums: usize,
): i32 {
  const pixels = fitPixels(pixelsAt, stride, count, 0, 0, work);
  const x = held(f32x4.splat(<f32>entry(frame, 0)));
  const y = held(f32x4.splat(<f32>entry(frame, 1)));
  const longX = held(f32x4.splat(<f32>entry(frame, 2)));
  const longY = held(f32x4.splat(<f32>entry(frame, 3)));
  const shortX = held(f32x4.splat(<f32>entry(frame, 4)));
  const shortY = held(f32x4.splat(<f32>entry(frame, 5)));
  const reach = held(f32x4.splat(<f32>entry(frame, 6)));
  const stretch = held(f32x4.splat(<f32>(2 / entry(frame, 6))));
  const scale = held(f32x4.splat(<f32>perTop));
  const one = f32x4.splat(1);
  const residual = lineOf(pixels, RESIDUAL);
  const highest = max(order, seeingCount - 1);
  let rows = 0;
  let used = 0;
  for (let first = 0; first < count; first += CHUNK) {
    const bytes = (<usize>((min(CHUNK, count - first) + 3) & ~3)) << 2;
    const from = (<usize>first) << 2;
    for (let at: usize = 0; at < bytes; at += 16) {
      const dx = f32x4.sub(v128.load(pixels.xs + from + at), x);
      const dy = f32x4.sub(v128.load(pixels.ys + from + at), y);
      const along = f32x4.add(f32x4.mul(longX, dx), f32x4.mul(longY, dy));
      const across = f32x4.add(f32x4.mul(shortX, dx), f32x4.mul(shortY, dy));
      const p = f32x4.mul(along, along);
      const q = f32x4.mul(across, across);
      const index = i32x4.add(i32x4.splat(first + <i32>(at >> 2)), i32x4(0, 1, 2, 3));
      const isPixel = i32x4.lt_s(index, i32x4.splat(count));
      const isNear = v128.and(f32x4.le(f32x4.add(p, q), reach), isPixel);
      const takesPart = own > 0 ? isPixel : isNear;
      used += popcnt<i32>(i32x4.bitmask(takesPart));
      chebyshev(f32x4.sub(f32x4.mul(stretch, f32x4.add(p, q)), one), highest, togetherAt);
      let to = rowsAt + at;
      for (let u = 0; u < own; u += 1, to += LINE)
        v128.store(to, f32x4.mul(scale, v128.load(lineOf(pixels, u) + from + at)));
      if (isSplit) {
        chebyshev(f32x4.sub(f32x4.mul(stretch, p), one), order, alongAt);
        chebyshev(f32x4.sub(f32x4.mul(stretch, q), one), order, acrossAt);
        for (let k = 0; k <= order; k += 1)
          for (let j = 0; j <= k; j += 1, to += LINE)
            v128.store(to, v128.and(f32x4.mul(polynomial(alongAt, k - j), polynomial(acrossAt, j)), isNear));
      } else
        for (let k = 0; k <= order; k += 1, to += LINE)
          v128.store(to, v128.and(polynomial(togetherAt, k), isNear));
      let sum = f32x4.splat(0);
      for (let k = 0; k < seeingCount; k += 1)
        sum = f32x4.add(sum, f32x4.mul(f32x4.splat(<f32>entry(seeing, k)), polynomial(togetherAt, k)));
      v128.store(to, v128.and(sum, isNear));
      to += LINE;
      v128.store(to, v128.and(f32x4.mul(scale, v128.load(residual + from + at)), takesPart));
      rows = <i32>((to - rowsAt - at) / LINE) + 1;
    }
    addProducts(rows, bytes, sums);
  }
  return used;
}
