import { shapeWitness } from './blur-response.js';
import { HUBER, type FitCell, type FitFrame } from './joint-fit-data.js';
import {
  makeFrameOptics,
  OWN,
  predictCell,
  predictSkew,
  predictWidthRatio,
  setFrameOptics,
  SHARED,
  type FieldMeans,
  type FrameOptics,
  type SharedName,
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

/** A problem made ready: one kind of record, whatever the problem was put together from, so that the engine compiles the loops once. */
export interface FitTask {
  readonly frames: readonly FitFrame[];
  readonly means: FieldMeans;
  /** The free shared parameters, as indices into SHARED. */
  readonly columns: readonly number[];
  /** Places of the coma's three parameters among the free ones; null when it is not free. */
  readonly coma: readonly number[] | null;
  /** Widest plausible value of each free parameter. */
  readonly reach: readonly number[];
  readonly seeingLog: number;
  readonly seeingSpread: number;
  readonly discPx: number;
  readonly baseRatio: number;
  readonly witness: number;
}

export function fitTask(problem: FitProblem): FitTask {
  const { frames, means, free, seeingLog, seeingSpread, discPx, baseRatio } = problem;
  return {
    frames,
    means,
    columns: free.map((name) => SHARED.indexOf(name)),
    coma: free.includes('comaG')
      ? (['comaG', 'comaX', 'comaY'] as const).map((name) => free.indexOf(name))
      : null,
    // Rotation enters as a variance.
    reach: free.map((name) => (name.startsWith('rot') ? discPx ** 2 / 4 : discPx)),
    seeingLog,
    seeingSpread,
    discPx,
    baseRatio,
    witness: shapeWitness(baseRatio),
  };
}

/** Normal equations of a state: shared part A, b; of every frame its own block and right side, and the links between the two (row-major, frame after frame). */
export interface Normal {
  /** Robust chi-square with priors. */
  readonly cost: number;
  /** The same without priors. */
  readonly data: number;
  /** n x n, symmetric. */
  readonly A: Float64Array;
  readonly b: Float64Array;
  /** OWN x OWN a frame. */
  readonly blocks: Float64Array;
  /** OWN a frame. */
  readonly rights: Float64Array;
  /** n x OWN a frame. */
  readonly links: Float64Array;
}

/** Robust square of a residual's size (in errors). */
function robustSquare(size: number): number {
  return size <= HUBER ? size * size : HUBER * (2 * size - HUBER);
}

/** Its weight among squares. */
function robustWeight(size: number): number {
  return size <= HUBER ? 1 : HUBER / size;
}

/** Build the normal equations of all frames at the given parameters (`sharedNumbers`, `ownNumbers`). */
export function assembleNormal(task: FitTask, shared: Float64Array, own: Float64Array): Normal {
  const { frames, columns, coma, reach, seeingLog, seeingSpread, discPx } = task;
  const n = columns.length;
  const width = n + OWN;
  const A = new Float64Array(n * n);
  const b = new Float64Array(n);
  const blocks = new Float64Array(frames.length * OWN * OWN);
  const rights = new Float64Array(frames.length * OWN);
  const links = new Float64Array(frames.length * n * OWN);
  const rows = new Float64Array(3 * width);
  const full = new Float64Array(width * width);
  const side = new Float64Array(width);
  const flare = coma === null ? [] : coma.map((k) => shared[columns[k]]);
  let data = 0;
  let prior = 0;
  for (let k = 0; k < n; k++) {
    const value = shared[columns[k]] / reach[k];
    prior += value * value;
    A[k * n + k] += 1 / (reach[k] * reach[k]);
    b[k] -= value / reach[k];
  }
  for (let f = 0; f < frames.length; f++) {
    const frame = frames[f];
    full.fill(0);
    side.fill(0);
    setFrameOptics(shared, own, OWN * f, frame, optics);
    data += addCells(optics, frame.cells, columns, rows, full, side);
    data += coma === null ? frame.skewData : addSkew(flare, frame.cells, coma, A, b);
    if (frame.widthRatio !== null)
      data += addWidthRatio(task, frame.widthRatio, frame.widthRatioError, full, side, n);
    // Weak priors: seeing near the night's, focus within the widest plausible disc.
    const seeing = own[OWN * f];
    const focus = own[OWN * f + 1];
    const offset = (Math.log(seeing) - seeingLog) / seeingSpread;
    const slope = 1 / (seeing * seeingSpread);
    prior += offset * offset + (focus / discPx) * (focus / discPx);
    full[n * width + n] += slope * slope;
    side[n] -= slope * offset;
    full[(n + 1) * width + n + 1] += 1 / (discPx * discPx);
    side[n + 1] -= focus / (discPx * discPx);

    for (let a = 0; a < n; a++) {
      b[a] += side[a];
      for (let c = a; c < n; c++) A[a * n + c] += full[a * width + c];
      for (let c = 0; c < OWN; c++) links[(f * n + a) * OWN + c] = full[a * width + n + c];
    }
    for (let a = 0; a < OWN; a++) {
      rights[f * OWN + a] = side[n + a];
      for (let c = a; c < OWN; c++) {
        const value = full[(n + a) * width + n + c];
        blocks[(f * OWN + a) * OWN + c] = value;
        blocks[(f * OWN + c) * OWN + a] = value;
      }
    }
  }
  for (let k = 0; k < n; k++) for (let m = 0; m < k; m++) A[k * n + m] = A[m * n + k];
  return { cost: data + prior, data, A, b, blocks, rights, links };
}

const optics = makeFrameOptics();
const values = new Float64Array(3);
const misses = new Float64Array(3);
const weights = new Float64Array(3);
const skew = { value: new Float64Array(2), byComa: new Float64Array(6) };

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
      data += robustSquare(off);
      weights[part] = robustWeight(off) / (error * error);
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

/** Third moments of a frame's cells against the coma (its three parameters, free at the places `at`); returns their robust squares. */
function addSkew(
  coma: readonly number[],
  cells: readonly FitCell[],
  at: readonly number[],
  A: Float64Array,
  b: Float64Array,
): number {
  const n = b.length;
  const { value, byComa } = skew;
  const [comaG, comaX, comaY] = coma;
  let data = 0;
  for (const cell of cells) {
    if (!(cell.skewError > 0) || !Number.isFinite(cell.skewX) || !Number.isFinite(cell.skewY)) continue;
    predictSkew(comaG, comaX, comaY, cell, skew);
    for (let part = 0; part < 2; part++) {
      const miss = (part === 0 ? cell.skewX : cell.skewY) - value[part];
      const off = Math.abs(miss) / cell.skewError;
      data += robustSquare(off);
      const weight = robustWeight(off) / (cell.skewError * cell.skewError);
      for (let a = 0; a < 3; a++) {
        const da = weight * byComa[3 * part + a];
        b[at[a]] += da * miss;
        for (let c = 0; c < 3; c++) {
          if (at[c] >= at[a]) A[at[a] * n + at[c]] += da * byComa[3 * part + c];
        }
      }
    }
  }
  return data;
}

/** Half-flux diameter over FWHM of a frame against its seeing and focus; returns its robust square. */
function addWidthRatio(
  { means, baseRatio, witness }: FitTask,
  widthRatio: number,
  error: number,
  full: Float64Array,
  side: Float64Array,
  n: number,
): number {
  const width = n + OWN;
  const { value, bySeeing, byFocus } = predictWidthRatio(optics, means, witness);
  const miss = widthRatio / baseRatio - value;
  const off = Math.abs(miss) / error;
  const weight = robustWeight(off) / (error * error);
  side[n] += weight * bySeeing * miss;
  side[n + 1] += weight * byFocus * miss;
  full[n * width + n] += weight * bySeeing * bySeeing;
  full[n * width + n + 1] += weight * bySeeing * byFocus;
  full[(n + 1) * width + n + 1] += weight * byFocus * byFocus;
  return robustSquare(off);
}
