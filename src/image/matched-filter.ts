/** Blocks along each side of the filter. */
const SIDE = 5;

/**
 * Gaussian matched filter for peaks of full width `fwhm` blocks, as the kernels want it: 5 x 5 weights, row by row, their sum, and the sum of their squares.
 *
 * A star that equals the filter has flux = sum(w v) sum(w) / sum(w^2), and signal to noise sum(w v) / (noise sqrt(sum(w^2))).
 */
export function matchedFilter(fwhm: number): Float32Array {
  const sigma = fwhm / 2.3548;
  const filter = new Float32Array(SIDE * SIDE + 2);
  let sum = 0;
  let squares = 0;
  for (let k = 0; k < SIDE * SIDE; k += 1) {
    const dx = (k % SIDE) - 2;
    const dy = Math.floor(k / SIDE) - 2;
    const weight = Math.exp(-(dx * dx + dy * dy) / (2 * sigma * sigma));
    filter[k] = weight;
    sum += weight;
    squares += weight * weight;
  }
  filter.set([sum, squares], SIDE * SIDE);
  return filter;
}
