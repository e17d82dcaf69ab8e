import { choleskyInPlace, choleskySolveInPlace } from './cholesky.js';

/**
 * A least-squares problem: at `parameters`, fill `normal` (J^T J, row-major n x n, lower half enough) and `gradient` (J^T r with
 * r = data - model and J = d model / d parameter), and return the sum of squared residuals. Return Infinity or NaN where the
 * model is not defined: the step is then shortened.
 */
export type SquaresProblem = (
  parameters: Float64Array,
  normal: Float64Array,
  gradient: Float64Array,
) => number;

export interface SquaresFit {
  readonly parameters: Float64Array;
  readonly sumOfSquares: number;
  /** J^T J at the solution, row-major, lower half. */
  readonly normal: Float64Array;
  readonly iterations: number;
  readonly converged: boolean;
}

export interface SquaresOptions {
  readonly maxIterations?: number;
  /** The fit rests when a step changes no parameter by more than this part of itself. */
  readonly tolerance?: number;
  /** It rests also when a step promises to lower the sum of squares by less than this part. Default 0: never for that reason. */
  readonly costTolerance?: number;
}

/**
 * Least squares by the Levenberg-Marquardt method, with damping scaled by the diagonal (Marquardt 1963) and adapted by the gain ratio
 * (Nielsen 1999, IMM-REP-1999-05; Madsen, Nielsen & Tingleff 2004, section 3.2).
 *
 * Never throws; a start where the model is not defined comes back unconverged after 0 iterations.
 */
export function levenbergMarquardt(
  problem: SquaresProblem,
  start: ArrayLike<number>,
  options: SquaresOptions = {},
): SquaresFit {
  const n = start.length;
  const maxIterations = options.maxIterations ?? 50;
  const tolerance = options.tolerance ?? 1e-6;
  let parameters = Float64Array.from(start);
  let trial = new Float64Array(n);
  let normal = new Float64Array(n * n);
  let trialNormal = new Float64Array(n * n);
  let gradient = new Float64Array(n);
  let trialGradient = new Float64Array(n);
  const factor = new Float64Array(n * n);
  const step = new Float64Array(n);

  let cost = problem(parameters, normal, gradient);
  if (!Number.isFinite(cost))
    return { parameters, sumOfSquares: cost, normal, iterations: 0, converged: false };
  let damping = 1e-3;
  let growth = 2;
  let converged = false;
  let iterations = 0;
  while (iterations < maxIterations && !converged) {
    iterations += 1;
    factor.set(normal);
    step.set(gradient);
    for (let i = 0; i < n; i += 1) factor[i * n + i] += damping * normal[i * n + i] + Number.MIN_VALUE;
    if (!choleskyInPlace(factor, n)) {
      damping = Math.max(damping, 1e-12) * growth;
      growth *= 2;
      if (damping > 1e16) break;
      continue;
    }
    choleskySolveInPlace(factor, n, step);
    let isSmall = true;
    let predicted = 0;
    for (let i = 0; i < n; i += 1) {
      trial[i] = parameters[i] + step[i];
      predicted += step[i] * (damping * normal[i * n + i] * step[i] + gradient[i]);
      if (Math.abs(step[i]) > tolerance * (Math.abs(parameters[i]) + tolerance)) isSmall = false;
    }
    if (predicted < (options.costTolerance ?? 0) * cost) {
      converged = true;
      break;
    }
    const trialCost = problem(trial, trialNormal, trialGradient);
    if (isSmall || trialCost <= cost) {
      // A decrease, or a step so small that rounding decides: at the minimum either way.
      if (isSmall) converged = true;
      if (!(trialCost <= cost)) break;
      const gain = predicted > 0 ? (cost - trialCost) / predicted : 0;
      damping *= Math.max(1 / 3, 1 - (2 * gain - 1) ** 3);
      growth = 2;
      [parameters, trial] = [trial, parameters];
      [normal, trialNormal] = [trialNormal, normal];
      [gradient, trialGradient] = [trialGradient, gradient];
      cost = trialCost;
    } else {
      damping = Math.max(damping, 1e-12) * growth;
      growth *= 2;
      if (damping > 1e16) break;
    }
  }
  return { parameters, sumOfSquares: cost, normal, iterations, converged };
}
