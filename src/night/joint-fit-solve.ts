import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import { HUBER, type FitFrame } from './joint-fit-data.js';
import {
  newPrediction,
  OWN,
  predictCell,
  predictSkew,
  predictWidthRatio,
  SHARED,
  type FieldMeans,
  type FrameParameters,
  type SharedName,
  type SharedParameters,
} from './joint-fit-model.js';

/** Everything the joint fit holds fixed while it runs. */
export interface FitProblem {
  readonly frames: readonly FitFrame[];
  readonly means: FieldMeans;
  /** Shared parameters that may move; the others stay where they start. */
  readonly free: readonly SharedName[];
  /** Middle of the undisturbed moments' logarithm and its spread between frames (weak prior). */
  readonly seeingLog: number;
  readonly seeingSpread: number;
  /** Widest plausible blur disc, pixels: a weak prior that keeps what the data do not say at zero. */
  readonly discPx: number;
  /** Half-flux diameter over FWHM of an undisturbed star of this night. */
  readonly baseRatio: number;
}

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

const LAMBDA_START = 1e-3;
/** Gain of a step, in squares of errors, below which nothing that is reported would change. */
const CONVERGED = 0.02;

interface Normal {
  readonly cost: number;
  readonly data: number;
  readonly A: Matrix;
  readonly b: Float64Array;
  readonly blocks: readonly Float64Array[];
  readonly rights: readonly Float64Array[];
  readonly links: readonly Float64Array[];
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
  let normal = assemble(problem, shared, own);
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
    const next = assemble(problem, nextShared, nextOwn);
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

function assemble(problem: FitProblem, shared: SharedParameters, own: readonly FrameParameters[]): Normal {
  const indices = problem.free.map((name) => SHARED.indexOf(name));
  const n = indices.length;
  const A = Matrix.zeros(Math.max(n, 1), Math.max(n, 1));
  const b = new Float64Array(n);
  const blocks: Float64Array[] = [];
  const rights: Float64Array[] = [];
  const links: Float64Array[] = [];
  const comaAt = (['comaG', 'comaX', 'comaY'] as const).map((name) => problem.free.indexOf(name));
  const skew = { value: new Float64Array(2), byComa: new Float64Array(6) };
  const parts = [newPrediction(), newPrediction(), newPrediction()] as const;
  let data = 0;
  let prior = 0;
  problem.free.forEach((name, k) => {
    // Rotation enters as a variance.
    const width = name.startsWith('rot') ? problem.discPx ** 2 / 4 : problem.discPx;
    prior += (shared[name] / width) ** 2;
    A.set(k, k, A.get(k, k) + 1 / width ** 2);
    b[k] -= shared[name] / width ** 2;
  });
  problem.frames.forEach((frame, f) => {
    const block = new Float64Array(OWN * OWN);
    const right = new Float64Array(OWN);
    const link = new Float64Array(n * OWN);
    for (const cell of frame.cells) {
      predictCell(shared, own[f], frame, cell, parts);
      for (let part = 0; part < 3; part++) {
        const observed = part === 0 ? cell.iso : part === 1 ? cell.plus : cell.cross;
        const error = part === 0 ? cell.isoError : cell.shearError;
        const { value, shared: ds, own: dOwn } = parts[part];
        const residual = (observed - value) / error;
        const size = Math.abs(residual);
        const robust = size <= HUBER ? 1 : HUBER / size;
        data += size <= HUBER ? size * size : HUBER * (2 * size - HUBER);
        const weight = robust / (error * error);
        const miss = observed - value;
        for (let a = 0; a < OWN; a++) {
          right[a] += weight * dOwn[a] * miss;
          for (let c = a; c < OWN; c++) block[a * OWN + c] += weight * dOwn[a] * dOwn[c];
          for (let k = 0; k < n; k++) link[k * OWN + a] += weight * ds[indices[k]] * dOwn[a];
        }
        for (let k = 0; k < n; k++) {
          const dk = ds[indices[k]];
          b[k] += weight * dk * miss;
          for (let m = k; m < n; m++) A.set(k, m, A.get(k, m) + weight * dk * ds[indices[m]]);
        }
      }
    }
    if (comaAt.some((k) => k >= 0)) {
      for (const cell of frame.cells) {
        if (!(cell.skewError > 0) || !Number.isFinite(cell.skewX) || !Number.isFinite(cell.skewY)) continue;
        predictSkew(shared, cell, skew);
        for (let part = 0; part < 2; part++) {
          const miss = (part === 0 ? cell.skewX : cell.skewY) - skew.value[part];
          const size = Math.abs(miss) / cell.skewError;
          const robust = size <= HUBER ? 1 : HUBER / size;
          data += size <= HUBER ? size * size : HUBER * (2 * size - HUBER);
          const weight = robust / cell.skewError ** 2;
          for (let a = 0; a < 3; a++) {
            if (comaAt[a] < 0) continue;
            const da = skew.byComa[3 * part + a];
            b[comaAt[a]] += weight * da * miss;
            for (let c = 0; c < 3; c++) {
              const [k, m] = [comaAt[a], comaAt[c]];
              if (m >= k) A.set(k, m, A.get(k, m) + weight * da * skew.byComa[3 * part + c]);
            }
          }
        }
      }
    } else data += frame.skewData;
    if (frame.widthRatio !== null) {
      const predicted = predictWidthRatio(shared, own[f], frame, problem.means);
      const error = frame.widthRatioError;
      const miss = frame.widthRatio / problem.baseRatio - predicted.value;
      const size = Math.abs(miss) / error;
      const robust = size <= HUBER ? 1 : HUBER / size;
      data += size <= HUBER ? size * size : HUBER * (2 * size - HUBER);
      const weight = robust / (error * error);
      const d = [predicted.bySeeing, predicted.byFocus];
      for (let a = 0; a < 2; a++) {
        right[a] += weight * d[a] * miss;
        for (let c = a; c < 2; c++) block[a * OWN + c] += weight * d[a] * d[c];
      }
    }
    // Weak priors: seeing near the night's, focus within the widest plausible disc.
    const offset = (Math.log(own[f].seeing) - problem.seeingLog) / problem.seeingSpread;
    const slope = 1 / (own[f].seeing * problem.seeingSpread);
    prior += offset * offset + (own[f].focus / problem.discPx) ** 2;
    block[0] += slope * slope;
    right[0] -= slope * offset;
    block[OWN + 1] += 1 / problem.discPx ** 2;
    right[1] -= own[f].focus / problem.discPx ** 2;
    for (let a = 0; a < OWN; a++) for (let c = 0; c < a; c++) block[a * OWN + c] = block[c * OWN + a];
    blocks.push(block);
    rights.push(right);
    links.push(link);
  });
  for (let k = 0; k < n; k++) for (let m = 0; m < k; m++) A.set(k, m, A.get(m, k));
  return { cost: data + prior, data, A, b, blocks, rights, links };
}

function solveStep(normal: Normal, lambda: number): { shared: Float64Array; own: Float64Array[] } | null {
  const n = normal.b.length;
  const S = normal.A.clone();
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
  const S = normal.A.clone();
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
