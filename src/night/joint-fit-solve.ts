import { choleskyInPlace, choleskyInverse, choleskySolveInPlace } from '../stats/index.js';
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
  // Of the many fits of a search few are asked for their errors.
  let spread: ReturnType<typeof covariances> | null = null;
  const errors = (): ReturnType<typeof covariances> => (spread ??= covariances(normal));
  return {
    shared,
    own,
    cost: normal.cost,
    data: normal.data,
    get sharedCovariance() {
      return errors().shared;
    },
    get focusError() {
      return errors().focus;
    },
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

/**
 * The shared parameters' part of the normal equations with every frame's own eliminated (Schur complement), lower half of n x n, and on the way the
 * inverses of the frames' blocks; diagonals raised by (1 + lambda). Null when a block is singular.
 */
function eliminate(
  normal: Normal,
  lambda: number,
): {
  readonly S: Float64Array;
  readonly right: Float64Array;
  readonly inverses: readonly Float64Array[];
} | null {
  const n = normal.b.length;
  const S = normal.A.slice();
  for (let k = 0; k < n; k++) S[k * n + k] *= 1 + lambda;
  const right = normal.b.slice();
  const inverses: Float64Array[] = [];
  for (let f = 0; f < normal.blocks.length; f++) {
    const inverse = invertBlock(normal.blocks[f], lambda);
    if (!inverse) return null;
    inverses.push(inverse);
    const link = normal.links[f];
    const rest = normal.rights[f];
    for (let k = 0; k < n; k++) {
      for (let a = 0; a < OWN; a++) {
        let scaled = 0;
        for (let c = 0; c < OWN; c++) scaled += link[k * OWN + c] * inverse[c * OWN + a];
        right[k] -= scaled * rest[a];
        for (let m = 0; m <= k; m++) S[k * n + m] -= scaled * link[m * OWN + a];
      }
    }
  }
  return { S, right, inverses };
}

function solveStep(normal: Normal, lambda: number): { shared: Float64Array; own: Float64Array[] } | null {
  const n = normal.b.length;
  const reduced = eliminate(normal, lambda);
  if (!reduced) return null;
  const { S, right: shared, inverses } = reduced;
  if (!choleskyInPlace(S, n)) return null;
  choleskySolveInPlace(S, n, shared);
  if (!shared.every(Number.isFinite)) return null;
  const rest = new Float64Array(OWN);
  const own = normal.blocks.map((_, f) => {
    const link = normal.links[f];
    rest.set(normal.rights[f]);
    for (let a = 0; a < OWN; a++) for (let k = 0; k < n; k++) rest[a] -= link[k * OWN + a] * shared[k];
    const step = new Float64Array(OWN);
    for (let a = 0; a < OWN; a++) for (let c = 0; c < OWN; c++) step[a] += inverses[f][a * OWN + c] * rest[c];
    return step;
  });
  return { shared, own };
}

/** What a shared parameter that the data do not tell at all gets for a variance. */
const UNKNOWN_VARIANCE = 1e12;

/** Covariances from the normal equations at the minimum, everything else marginalised. */
function covariances(normal: Normal): { shared: number[][]; focus: number[] } {
  const n = normal.b.length;
  const reduced = eliminate(normal, 0);
  const known = reduced !== null && choleskyInPlace(reduced.S, n);
  const inverse = known ? choleskyInverse(reduced.S, n) : null;
  const shared = Array.from({ length: n }, (_, k) =>
    Array.from({ length: n }, (__, m) => (inverse ? inverse[k * n + m] : k === m ? UNKNOWN_VARIANCE : 0)),
  );
  const focus = normal.links.map((link, f) => {
    if (!reduced) return Infinity;
    const block = reduced.inverses[f];
    let variance = block[OWN + 1];
    // Part of the shared parameters' uncertainty that passes on to this frame's focus.
    const gain = new Float64Array(n);
    for (let k = 0; k < n; k++) for (let a = 0; a < OWN; a++) gain[k] += block[OWN + a] * link[k * OWN + a];
    for (let k = 0; k < n; k++) for (let m = 0; m < n; m++) variance += gain[k] * shared[k][m] * gain[m];
    return Math.sqrt(Math.max(0, variance));
  });
  return { shared, focus };
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
