import { fitPixels, lineOf, RESIDUAL } from './fit-pixels';
import { held } from './lanes';
import { addProducts, CHUNK, LINE, rowsAt } from './line-products';

const PARAMETERS: i32 = 7;

/**
 * Sums of products over the pixels of one star, after `moffatSums` on them with the same `pixels`, `stride`, `count` and `work`, each pixel weighing 1 / (sky + photons x profile): of the seven
 * derivatives, 1, and the residual. To `sums` (doubles): lower half of the matrix, row after row.
 */
export function weightedSums(
  pixelsAt: usize,
  stride: i32,
  count: i32,
  work: usize,
  sky: f64,
  photons: f64,
  sums: usize,
): void {
  const pixels = fitPixels(pixelsAt, stride, count, 0, 0, work);
  const dark = held(f32x4.splat(<f32>sky));
  const lit = held(f32x4.splat(<f32>photons));
  const rows = PARAMETERS + 2;
  memory.fill(sums, 0, (<usize>((rows * (rows + 1)) / 2)) << 3);
  for (let first = 0; first < count; first += CHUNK) {
    const bytes = (<usize>((min(CHUNK, count - first) + 3) & ~3)) << 2;
    const from = (<usize>first) << 2;
    for (let at: usize = 0; at < bytes; at += 16) {
      const index = i32x4.add(i32x4.splat(first + <i32>(at >> 2)), i32x4(0, 1, 2, 3));
      const isPixel = i32x4.lt_s(index, i32x4.splat(count));
      const variance = f32x4.add(dark, f32x4.mul(lit, v128.load(lineOf(pixels, 0) + from + at)));
      const root = v128.and(f32x4.div(f32x4.splat(1), f32x4.sqrt(variance)), isPixel);
      let to = rowsAt + at;
      for (let u = 0; u < PARAMETERS; u += 1, to += LINE)
        v128.store(to, f32x4.mul(root, v128.load(lineOf(pixels, u) + from + at)));
      v128.store(to, root);
      v128.store(to + LINE, f32x4.mul(root, v128.load(lineOf(pixels, RESIDUAL) + from + at)));
    }
    addProducts(rows, bytes, sums);
  }
}
