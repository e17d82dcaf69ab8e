import { factorise, solveFactored } from './cholesky';
import { bytesOf, FitPixels } from './fit-pixels';
import { dot, normalSums, residualSums, ROW } from './fit-sums';
import { moffatLines } from './moffat-lines';
import { entry, put } from './numbers';

/** Parameters of a fit with gamma held: height, x, y, a, b, c. */
export const OWN: i32 = 6;
const MATRIX: i32 = 8 * ROW * 8;
const LINE: i32 = 8 * ROW;

/** Where the parameters of the next step, the equations there and here, and the step are worked out. */
const trialAt: usize = memory.data(LINE, 16);
const hereAt: usize = memory.data(MATRIX + LINE, 16);
const thereAt: usize = memory.data(MATRIX + LINE, 16);
const factorAt: usize = memory.data(MATRIX, 16);
const stepAt: usize = memory.data(LINE, 16);

/** What the fit leaves beside the parameters and the model's lines. */
@unmanaged
export class Solution {
  /** J^T J of a star of height 1 at the solution, and J^T residual; in rows of `ROW` doubles. */
  normal: usize;
  gradient: usize;
  cost: f64;
  isAtRest: bool;
}
const solution = changetype<Solution>(memory.data(32, 16));

/** Whether the half-maximum contour is an ellipse. */
function isEllipse(p: usize): bool {
  const a = entry(p, 3);
  const b = entry(p, 4);
  const c = entry(p, 5);
  return a > 0 && c > 0 && a * c - b * b > 0;
}

/** Lines of the model at `p`, with the height that suits the data best put there; the sum of squared residuals, infinite where no star has such parameters. */
function tryStar(pixels: FitPixels, p: usize, size: i32): f64 {
  if (!isEllipse(p)) return Infinity;
  moffatLines(pixels, p, size);
  const bytes = bytesOf(pixels);
  const height = dot(pixels.work, pixels.values, bytes) / dot(pixels.work, pixels.work, bytes);
  if (!(height > 0)) return Infinity;
  put(p, 0, height);
  return residualSums(pixels, height);
}

/**
 * Least squares by Levenberg-Marquardt steps with gamma held, the damping scaled by the diagonal (Marquardt 1963) and adapted by the gain ratio (Nielsen 1999, IMM-REP-1999-05); the height, which enters
 * linearly, is the best one at every shape (Golub & Pereyra 1973).
 *
 * `p`: start and solution, see `moffatLines`; the height of the start counts for nothing. The fit rests when the next step promises less than `tolerance` of the sum of squares, or `rounding` of the model's: that step is still
 * taken, without another look at the model. Null when there is no star at the start. Lines and `Solution` are those of the last look, with `size` parameters.
 */
export function fitShape(
  pixels: FitPixels,
  p: usize,
  size: i32,
  mostSteps: i32,
  tolerance: f64,
  rounding: f64,
): Solution | null {
  let here = hereAt;
  let there = thereAt;
  let cost = tryStar(pixels, p, size);
  if (!(cost < Infinity)) return null;
  normalSums(pixels, size, here, here + MATRIX);
  let damping = 1e-3;
  let growth = 2.0;
  let isAtRest = false;
  let hasLines = true;
  put(trialAt, OWN, entry(p, OWN));
  put(trialAt, OWN + 1, entry(p, OWN + 1));
  for (let steps = 0; steps < mostSteps; steps += 1) {
    const height = entry(p, 0);
    memory.copy(factorAt, here, MATRIX);
    memory.copy(stepAt, here + MATRIX, LINE);
    for (let k = 0; k < OWN; k += 1) put(factorAt, k * (ROW + 1), entry(here, k * (ROW + 1)) * (1 + damping));
    let isBetter = false;
    if (factorise(factorAt, ROW, OWN)) {
      solveFactored(factorAt, ROW, OWN, stepAt);
      let promise = 0.0;
      for (let k = 0; k < OWN; k += 1) {
        const step = entry(stepAt, k);
        promise += step * (damping * entry(here, k * (ROW + 1)) * step + entry(here + MATRIX, k));
        put(trialAt, k, entry(p, k) + step / height);
      }
      isAtRest = promise < max(tolerance * cost, rounding * height * height * entry(here, 0));
      if (isAtRest) break;
      const trial = tryStar(pixels, trialAt, size);
      hasLines = false;
      if (trial <= cost) {
        isBetter = true;
        memory.copy(p, trialAt, LINE);
        normalSums(pixels, size, there, there + MATRIX);
        hasLines = true;
        const old = here;
        here = there;
        there = old;
        const gain = promise > 0 ? (2 * (cost - trial)) / promise - 1 : -1;
        damping *= max(1 / 3.0, 1 - gain * gain * gain);
        growth = 2;
        cost = trial;
      }
    }
    if (!isBetter) {
      damping = max(damping, 1e-12) * growth;
      growth *= 2;
      if (damping > 1e16) break;
    }
  }
  if (!hasLines) cost = tryStar(pixels, p, size);
  put(trialAt, 0, entry(p, 0) + entry(stepAt, 0));
  if (isAtRest && isEllipse(trialAt)) memory.copy(p, trialAt, LINE);
  solution.normal = here;
  solution.gradient = here + MATRIX;
  solution.cost = cost;
  solution.isAtRest = isAtRest;
  return solution;
}
