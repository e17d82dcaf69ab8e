import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import { assembleNormal, type FitProblem, type Normal } from './joint-fit-normal.js';
import { OWN, type FrameParameters, type SharedName, type SharedParameters } from './joint-fit-model.js';

const LAMBDA_START = 1e-3;
/** Gain of a step, in squares of errors, below which nothing that is reported would change. */
const CONVERGED = 0.02;

export interface FitSolution {
  readonly shared: SharedParameters;
  readonly own: readonly FrameParameters[];
  /** Robust chi-square with priors: what the fit minimises. */
  readonly cost: number;
  readonly data: number;
  /** Standard errors and covariance of the free shared parameters (order of `free`), other parameters marginalised. */
  readonly sharedCovariance: readonly (readonly number[])[];
  /** Standard error of each frame's focus. */
  readonly focusError: readonly number[];
  readonly iterations: number;
}

/**
 * Levenberg-Marquardt over all frames together; each frame's own four parameters are eliminated before the shared ones are
 * solved for (Schur complement; Triggs et al. 2000, bundle adjustment), so the cost is linear in the number of frames.
 */
export function solveJointFit(
  problem: FitProblem,
  startShared: SharedParameters,
  startOwn: readonly FrameParameters[],
  maxIterations = 40,
): FitSolution {
  let shared = startShared;
  let own = startOwn;
  let normal = assembleNormal(problem, shared, own);
  let lambda = LAMBDA_START;
  let iterations = 0;
  for (; iterations < maxIterations; iterations++) {
    const step = solveStep(normal, lambda);
    if (!step) {
      lambda *= 10;
      if (lambda > 1e8) break;
      continue;
    }
    const nextShared = moveShared(problem, shared, step.shared);
    const nextOwn = own.map((frame, f) => moveOwn(frame, step.own[f]));
    const next = assembleNormal(problem, nextShared, nextOwn);
    if (next.cost < normal.cost) {
      const gain = normal.cost - next.cost;
      shared = nextShared;
      own = nextOwn;
      normal = next;
      lambda = Math.max(1e-9, lambda / 5);
      if (gain < CONVERGED) break;
    } else {
      lambda *= 6;
      if (lambda > 1e8) break;
    }
  }
  const spread = covariances(normal);
  return {
    shared,
    own,
    cost: normal.cost,
    data: normal.data,
    sharedCovariance: spread.shared,
    focusError: spread.focus,
    iterations,
  };
}

function moveShared(problem: FitProblem, shared: SharedParameters, step: Float64Array): SharedParameters {
  const moved: Record<SharedName, number> = { ...shared };
  problem.free.forEach((name, k) => (moved[name] += step[k]));
  return moved;
}

function moveOwn(own: FrameParameters, step: Float64Array): FrameParameters {
  return {
    // The undisturbed moment must stay positive: no step takes away more than half of it.
    seeing: Math.max(own.seeing / 2, own.seeing + step[0]),
    focus: own.focus + step[1],
    plus: own.plus + step[2],
    cross: own.cross + step[3],
  };
}

function solveStep(normal: Normal, lambda: number): { shared: Float64Array; own: Float64Array[] } | null {
  const n = normal.b.length;
  const S = Matrix.zeros(n, n);
  for (let k = 0; k < n; k++) for (let m = 0; m < n; m++) S.set(k, m, normal.A[k * n + m]);
  for (let k = 0; k < n; k++) S.set(k, k, S.get(k, k) * (1 + lambda));
  const right = Float64Array.from(normal.b);
  const inverses: Float64Array[] = [];
  for (let f = 0; f < normal.blocks.length; f++) {
    const inverse = invertBlock(normal.blocks[f], lambda);
    if (!inverse) return null;
    inverses.push(inverse);
    const link = normal.links[f];
    for (let k = 0; k < n; k++) {
      for (let a = 0; a < OWN; a++) {
        let scaled = 0;
        for (let c = 0; c < OWN; c++) scaled += link[k * OWN + c] * inverse[c * OWN + a];
        right[k] -= scaled * normal.rights[f][a];
        for (let m = 0; m < n; m++) S.set(k, m, S.get(k, m) - scaled * link[m * OWN + a]);
      }
    }
  }
  let shared = new Float64Array(0);
  if (n > 0) {
    const decomposition = new CholeskyDecomposition(symmetric(S));
    if (!decomposition.isPositiveDefinite()) return null;
    shared = Float64Array.from(decomposition.solve(Matrix.columnVector([...right])).to1DArray());
    if (!shared.every(Number.isFinite)) return null;
  }
  const own = normal.blocks.map((_, f) => {
    const rest = Float64Array.from(normal.rights[f]);
    for (let a = 0; a < OWN; a++)
      for (let k = 0; k < n; k++) rest[a] -= normal.links[f][k * OWN + a] * shared[k];
    const step = new Float64Array(OWN);
    for (let a = 0; a < OWN; a++) for (let c = 0; c < OWN; c++) step[a] += inverses[f][a * OWN + c] * rest[c];
    return step;
  });
  return { shared, own };
}

/** Covariances from the normal equations at the minimum, everything else marginalised. */
function covariances(normal: Normal): { shared: number[][]; focus: number[] } {
  const n = normal.b.length;
  const S = Matrix.zeros(n, n);
  for (let k = 0; k < n; k++) for (let m = 0; m < n; m++) S.set(k, m, normal.A[k * n + m]);
  const inverses = normal.blocks.map((block) => invertBlock(block, 1e-12));
  normal.links.forEach((link, f) => {
    const inverse = inverses[f];
    if (!inverse) return;
    for (let k = 0; k < n; k++)
      for (let m = 0; m < n; m++) {
        let sum = 0;
        for (let a = 0; a < OWN; a++)
          for (let c = 0; c < OWN; c++) sum += link[k * OWN + a] * inverse[a * OWN + c] * link[m * OWN + c];
        S.set(k, m, S.get(k, m) - sum);
      }
  });
  let shared: number[][] = [];
  if (n > 0) {
    const decomposition = new CholeskyDecomposition(symmetric(S));
    shared = decomposition.isPositiveDefinite()
      ? decomposition.solve(Matrix.eye(n, n)).to2DArray()
      : Matrix.eye(n, n).mul(1e12).to2DArray();
  }
  const focus = normal.links.map((link, f) => {
    const inverse = inverses[f];
    if (!inverse) return Infinity;
    let variance = inverse[OWN + 1];
    // Part of the shared parameters' uncertainty that passes on to this frame's focus.
    const gain = new Float64Array(n);
    for (let k = 0; k < n; k++) for (let a = 0; a < OWN; a++) gain[k] += inverse[OWN + a] * link[k * OWN + a];
    for (let k = 0; k < n; k++) for (let m = 0; m < n; m++) variance += gain[k] * shared[k][m] * gain[m];
    return Math.sqrt(Math.max(0, variance));
  });
  return { shared, focus };
}

function symmetric(matrix: Matrix): Matrix {
  for (let k = 0; k < matrix.rows; k++)
    for (let m = 0; m < k; m++) {
      const mean = (matrix.get(k, m) + matrix.get(m, k)) / 2;
      matrix.set(k, m, mean);
      matrix.set(m, k, mean);
    }
  return matrix;
}

/** Inverse of a frame's 4 x 4 block with its diagonal raised by (1 + lambda); null when it is singular. */
function invertBlock(block: Float64Array, lambda: number): Float64Array | null {
  const size = OWN;
  const work = Float64Array.from(block);
  const inverse = new Float64Array(size * size);
  for (let k = 0; k < size; k++) {
    work[k * size + k] = work[k * size + k] * (1 + lambda) + 1e-12;
    inverse[k * size + k] = 1;
  }
  for (let k = 0; k < size; k++) {
    const pivot = work[k * size + k];
    if (!(pivot > 0)) return null;
    for (let c = 0; c < size; c++) {
      work[k * size + c] /= pivot;
      inverse[k * size + c] /= pivot;
    }
    for (let a = 0; a < size; a++) {
      if (a === k) continue;
      const factor = work[a * size + k];
      if (factor === 0) continue;
      for (let c = 0; c < size; c++) {
        work[a * size + c] -= factor * work[k * size + c];
        inverse[a * size + c] -= factor * inverse[k * size + c];
      }
    }
  }
  return inverse;
}
