import { choleskyInPlace, choleskyInverse, choleskySolveInPlace } from '../stats/index.js';
import {
  namedOwn,
  namedShared,
  OWN,
  ownNumbers,
  sharedNumbers,
  type FrameParameters,
  type SharedParameters,
} from './joint-fit-model.js';
import { assembleNormal, fitTask, type FitProblem, type Normal } from './joint-fit-normal.js';

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
  const task = fitTask(problem);
  let shared = sharedNumbers(startShared);
  let own = ownNumbers(startOwn);
  let normal = assembleNormal(task, shared, own);
  let lambda = LAMBDA_START;
  let iterations = 0;
  for (; iterations < maxIterations; iterations++) {
    const step = solveStep(normal, lambda);
    if (!step) {
      lambda *= 10;
      if (lambda > 1e8) break;
      continue;
    }
    const nextShared = shared.slice();
    task.columns.forEach((column, k) => (nextShared[column] += step.shared[k]));
    const nextOwn = moveOwn(own, step.own);
    const next = assembleNormal(task, nextShared, nextOwn);
    if (next.cost < normal.cost) {
      const gain = normal.cost - next.cost;
      shared = nextShared;
      own = nextOwn;
      normal = next;
      lambda = Math.max(1e-9, lambda / 5);
      if (gain < CONVERGED) break;
    } else {
      // At the bottom no step gains: what this one promised tells whether a shorter one could.
      if (promisedGain(normal, step) < CONVERGED) break;
      lambda *= 6;
      if (lambda > 1e8) break;
    }
  }
  // Of the many fits of a search few are asked for their errors.
  let spread: ReturnType<typeof covariances> | null = null;
  const errors = (): ReturnType<typeof covariances> => (spread ??= covariances(normal));
  return {
    shared: namedShared(shared),
    own: problem.frames.map((_, f) => namedOwn(own, f)),
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

/** Upper bound of what a step gains where the equations are right: twice the gradient along it. */
function promisedGain({ b, rights }: Normal, step: Step): number {
  let along = 0;
  for (let k = 0; k < b.length; k++) along += b[k] * step.shared[k];
  for (let k = 0; k < rights.length; k++) along += rights[k] * step.own[k];
  return 2 * along;
}

function moveOwn(own: Float64Array, step: Float64Array): Float64Array {
  const moved = new Float64Array(own.length);
  for (let k = 0; k < own.length; k++) moved[k] = own[k] + step[k];
  // The undisturbed moment must stay positive: no step takes away more than half of it.
  for (let k = 0; k < own.length; k += OWN) moved[k] = Math.max(own[k] / 2, moved[k]);
  return moved;
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
  readonly inverses: Float64Array;
} | null {
  const n = normal.b.length;
  const S = normal.A.slice();
  for (let k = 0; k < n; k++) S[k * n + k] *= 1 + lambda;
  const right = normal.b.slice();
  const { links, rights } = normal;
  const inverses = new Float64Array(normal.blocks.length);
  for (let f = 0; f * OWN < rights.length; f++) {
    const block = f * OWN * OWN;
    if (!invertBlock(normal.blocks, block, lambda, inverses)) return null;
    const link = f * n * OWN;
    for (let k = 0; k < n; k++) {
      for (let a = 0; a < OWN; a++) {
        let scaled = 0;
        for (let c = 0; c < OWN; c++) scaled += links[link + k * OWN + c] * inverses[block + c * OWN + a];
        right[k] -= scaled * rights[f * OWN + a];
        for (let m = 0; m <= k; m++) S[k * n + m] -= scaled * links[link + m * OWN + a];
      }
    }
  }
  return { S, right, inverses };
}

/** How far the free shared parameters and the frames' own move. */
interface Step {
  readonly shared: Float64Array;
  readonly own: Float64Array;
}

function solveStep(normal: Normal, lambda: number): Step | null {
  const n = normal.b.length;
  const reduced = eliminate(normal, lambda);
  if (!reduced) return null;
  const { S, right: shared, inverses } = reduced;
  if (!choleskyInPlace(S, n)) return null;
  choleskySolveInPlace(S, n, shared);
  if (!shared.every(Number.isFinite)) return null;
  const { links, rights } = normal;
  const rest = rights.slice();
  const own = new Float64Array(rights.length);
  for (let f = 0; f * OWN < rights.length; f++) {
    const at = f * OWN;
    for (let a = 0; a < OWN; a++)
      for (let k = 0; k < n; k++) rest[at + a] -= links[(f * n + k) * OWN + a] * shared[k];
    for (let a = 0; a < OWN; a++)
      for (let c = 0; c < OWN; c++) own[at + a] += inverses[(at + a) * OWN + c] * rest[at + c];
  }
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
  const focus = Array.from({ length: normal.rights.length / OWN }, (_, f) => {
    if (!reduced) return Infinity;
    const block = reduced.inverses.subarray(f * OWN * OWN);
    const link = normal.links.subarray(f * n * OWN);
    let variance = block[OWN + 1];
    // Part of the shared parameters' uncertainty that passes on to this frame's focus.
    const gain = new Float64Array(n);
    for (let k = 0; k < n; k++) for (let a = 0; a < OWN; a++) gain[k] += block[OWN + a] * link[k * OWN + a];
    for (let k = 0; k < n; k++) for (let m = 0; m < n; m++) variance += gain[k] * shared[k][m] * gain[m];
    return Math.sqrt(Math.max(0, variance));
  });
  return { shared, focus };
}

const work = new Float64Array(OWN * OWN);

/** Inverse of a frame's own block (from place `at` on) with its diagonal raised by (1 + lambda), into the same place of `inverses`; false when it is singular. */
function invertBlock(blocks: Float64Array, at: number, lambda: number, inverses: Float64Array): boolean {
  for (let k = 0; k < OWN * OWN; k++) {
    const onDiagonal = k % (OWN + 1) === 0;
    work[k] = onDiagonal ? blocks[at + k] * (1 + lambda) + 1e-12 : blocks[at + k];
    inverses[at + k] = onDiagonal ? 1 : 0;
  }
  for (let k = 0; k < OWN; k++) {
    const pivot = work[k * OWN + k];
    if (!(pivot > 0)) return false;
    for (let c = 0; c < OWN; c++) {
      work[k * OWN + c] /= pivot;
      inverses[at + k * OWN + c] /= pivot;
    }
    for (let a = 0; a < OWN; a++) {
      if (a === k) continue;
      const factor = work[a * OWN + k];
      if (factor === 0) continue;
      for (let c = 0; c < OWN; c++) {
        work[a * OWN + c] -= factor * work[k * OWN + c];
        inverses[at + a * OWN + c] -= factor * inverses[at + k * OWN + c];
      }
    }
  }
  return true;
}
