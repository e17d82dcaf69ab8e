import { fitPixels } from './fit-pixels';
import { normalSums, residualSums, ROW } from './fit-sums';
import { moffatLines } from './moffat-lines';
import { entry, put } from './numbers';

/**
 * Normal equations of all seven parameters (height, x, y, a, b, c, gamma) at `p` (see `moffatLines`): lower half of J^T J in rows of eight doubles to `normal`, J^T residual to `gradient`. Returns the
 * sum of squared residuals; leaves the lines of the model in `work`, see `FitPixels`.
 */
export function moffatSums(
  pixelsAt: usize,
  stride: i32,
  count: i32,
  nodes: usize,
  nodeCount: i32,
  work: usize,
  p: usize,
  normal: usize,
  gradient: usize,
): f64 {
  const size = ROW - 1;
  const pixels = fitPixels(pixelsAt, stride, count, nodes, nodeCount, work);
  moffatLines(pixels, p, size);
  const height = load<f64>(p);
  const cost = residualSums(pixels, height);
  normalSums(pixels, size, normal, gradient);
  // The lines are those of a star of height 1.
  for (let u = 1; u < size; u += 1) {
    const row = normal + ((<usize>(u * ROW)) << 3);
    for (let v = 0; v <= u; v += 1) put(row, v, entry(row, v) * (v == 0 ? height : height * height));
    put(gradient, u, entry(gradient, u) * height);
  }
  return cost;
}
