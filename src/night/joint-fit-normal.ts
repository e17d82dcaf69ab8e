import { shapeWitness } from './blur-response.js';
import { HUBER, type FitCell, type FitFrame } from './joint-fit-data.js';
import {
  frameOptics,
  OWN,
  predictCell,
  predictSkew,
  predictWidthRatio,
  SHARED,
  type FieldMeans,
  type FrameOptics,
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

/** Normal equations of a state: shared part A, b; every frame's own block and right side; links between the two (row-major). */
export interface Normal {
  /** Robust chi-square with priors. */
  readonly cost: number;
  /** The same without priors. */
  readonly data: number;
  /** n x n, symmetric. */
  readonly A: Float64Array;
  readonly b: Float64Array;
  readonly blocks: readonly Float64Array[];
  readonly rights: readonly Float64Array[];
  readonly links: readonly Float64Array[];
}

/** Robust square of a residual (in errors) and its weight. */
function robustSquare(size: number): readonly [square: number, weight: number] {
  return size <= HUBER ? [size * size, 1] : [HUBER * (2 * size - HUBER), HUBER / size];
}

/** Build the normal equations of all frames at the given parameters. */
export function assembleNormal(
  problem: FitProblem,
  shared: SharedParameters,
  own: readonly FrameParameters[],
): Normal {
  const columns = problem.free.map((name) => SHARED.indexOf(name));
  const n = columns.length;
  const size = OWN;
  const width = n + size;
  const A = new Float64Array(n * n);
  const b = new Float64Array(n);
  const blocks: Float64Array[] = [];
  const rights: Float64Array[] = [];
  const links: Float64Array[] = [];
  const rows = new Float64Array(3 * width);
  const full = new Float64Array(width * width);
  const side = new Float64Array(width);
  const withComa = problem.free.includes('comaG');
  let data = 0;
  let prior = 0;
  problem.free.forEach((name, k) => {
    // Rotation enters as a variance.
    const reach = name.startsWith('rot') ? problem.discPx ** 2 / 4 : problem.discPx;
    prior += (shared[name] / reach) ** 2;
    A[k * n + k] += 1 / reach ** 2;
    b[k] -= shared[name] / reach ** 2;
  });
  for (let f = 0; f < problem.frames.length; f++) {
    const frame = problem.frames[f];
    full.fill(0);
    side.fill(0);
    data += addCells(frameOptics(shared, own[f], frame), frame.cells, columns, rows, full, side);
    data += withComa ? addSkew(problem, shared, frame.cells, A, b) : frame.skewData;
    data += addWidthRatio(problem, shared, own[f], frame, full, side, n);
    // Weak priors: seeing near the night's, focus within the widest plausible disc.
    const offset = (Math.log(own[f].seeing) - problem.seeingLog) / problem.seeingSpread;
    const slope = 1 / (own[f].seeing * problem.seeingSpread);
    prior += offset * offset + (own[f].focus / problem.discPx) ** 2;
    full[n * width + n] += slope * slope;
    side[n] -= slope * offset;
    full[(n + 1) * width + n + 1] += 1 / problem.discPx ** 2;
    side[n + 1] -= own[f].focus / problem.discPx ** 2;

    const block = new Float64Array(size * size);
    const link = new Float64Array(n * size);
    for (let a = 0; a < n; a++) {
      b[a] += side[a];
      for (let c = a; c < n; c++) A[a * n + c] += full[a * width + c];
      for (let c = 0; c < size; c++) link[a * size + c] = full[a * width + n + c];
    }
    for (let a = 0; a < size; a++)
      for (let c = a; c < size; c++) {
        block[a * size + c] = full[(n + a) * width + n + c];
        block[c * size + a] = block[a * size + c];
      }
    blocks.push(block);
    rights.push(side.slice(n));
    links.push(link);
  }
  for (let k = 0; k < n; k++) for (let m = 0; m < k; m++) A[k * n + m] = A[m * n + k];
  return { cost: data + prior, data, A, b, blocks, rights, links };
}

const values = new Float64Array(3);
const misses = new Float64Array(3);
const weights = new Float64Array(3);

/**
 * Size and shape of a frame's cells: adds to the upper triangle `full` and the right side `side`, and returns their robust squares. This is where the fit spends its time.
 * `columns`: the free shared parameters, as indices into SHARED; `rows`: room for three rows as wide as `side`.
 */
function addCells(
  optics: FrameOptics,
  cells: readonly FitCell[],
  columns: readonly number[],
  rows: Float64Array,
  full: Float64Array,
  side: Float64Array,
): number {
  const width = side.length;
  let data = 0;
  for (const cell of cells) {
    predictCell(optics, cell, columns, values, rows);
    for (let part = 0; part < 3; part++) {
      const error = part === 0 ? cell.isoError : cell.shearError;
      const miss = (part === 0 ? cell.iso : part === 1 ? cell.plus : cell.cross) - values[part];
      const off = Math.abs(miss) / error;
      weights[part] = 1 / (error * error);
      if (off <= HUBER) data += off * off;
      else {
        data += HUBER * (2 * off - HUBER);
        weights[part] *= HUBER / off;
      }
      misses[part] = miss;
    }
    // One pass over the triangle for the three parts together.
    for (let a = 0; a < width; a++) {
      const iso = weights[0] * rows[a];
      const plus = weights[1] * rows[width + a];
      const cross = weights[2] * rows[2 * width + a];
      side[a] += iso * misses[0] + plus * misses[1] + cross * misses[2];
      for (let c = a; c < width; c++)
        full[a * width + c] += iso * rows[c] + plus * rows[width + c] + cross * rows[2 * width + c];
    }
  }
  return data;
}

/** Third moments of a frame's cells against the coma; returns their robust squares. */
function addSkew(
  problem: FitProblem,
  shared: SharedParameters,
  cells: readonly FitCell[],
  A: Float64Array,
  b: Float64Array,
): number {
  const n = problem.free.length;
  const at = (['comaG', 'comaX', 'comaY'] as const).map((name) => problem.free.indexOf(name));
  const { comaG, comaX, comaY } = shared;
  const skew = { value: new Float64Array(2), byComa: new Float64Array(6) };
  let data = 0;
  for (const cell of cells) {
    if (!(cell.skewError > 0) || !Number.isFinite(cell.skewX) || !Number.isFinite(cell.skewY)) continue;
    predictSkew(comaG, comaX, comaY, cell, skew);
    for (let part = 0; part < 2; part++) {
      const miss = (part === 0 ? cell.skewX : cell.skewY) - skew.value[part];
      const [square, robust] = robustSquare(Math.abs(miss) / cell.skewError);
      data += square;
      const weight = robust / cell.skewError ** 2;
      for (let a = 0; a < 3; a++) {
        const da = weight * skew.byComa[3 * part + a];
        b[at[a]] += da * miss;
        for (let c = 0; c < 3; c++) {
          if (at[c] >= at[a]) A[at[a] * n + at[c]] += da * skew.byComa[3 * part + c];
        }
      }
    }
  }
  return data;
}

/** Half-flux diameter over FWHM of a frame against its seeing and focus; returns its robust square. */
function addWidthRatio(
  problem: FitProblem,
  shared: SharedParameters,
  own: FrameParameters,
  frame: FitFrame,
  full: Float64Array,
  side: Float64Array,
  n: number,
): number {
  if (frame.widthRatio === null) return 0;
  const width = n + OWN;
  const predicted = predictWidthRatio(shared, own, frame, problem.means, shapeWitness(problem.baseRatio));
  const miss = frame.widthRatio / problem.baseRatio - predicted.value;
  const [square, robust] = robustSquare(Math.abs(miss) / frame.widthRatioError);
  const weight = robust / frame.widthRatioError ** 2;
  const d = [predicted.bySeeing, predicted.byFocus];
  for (let a = 0; a < 2; a++) {
    side[n + a] += weight * d[a] * miss;
    for (let c = a; c < 2; c++) full[(n + a) * width + n + c] += weight * d[a] * d[c];
  }
  return square;
}
