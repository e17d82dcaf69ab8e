import { median } from 'simple-statistics';
import { choleskyInPlace, choleskyInverse, levenbergMarquardt } from '../../stats/index.js';
import type { StarResponse } from './star-response.js';
import {
  newDerivatives,
  OWN_COUNT,
  predictCell,
  predictWithDerivatives,
  SHARED_COUNT,
  type OwnParameters,
  type SweepPrediction,
} from './sweep-model.js';
import { startSweep } from './sweep-start.js';
import type { SweepFrame } from './types.js';

/** The fitted surfaces of a sweep; focus in the unit of `SweepFrame.outward`. */
export interface SweepFit {
  readonly shared: Float64Array;
  /** Covariance of the shared parameters, scaled to the scatter found; SHARED_COUNT squared, row-major. */
  readonly covariance: Float64Array;
  /** Per frame: logarithm of the undisturbed moment, tracking tensor. */
  readonly own: readonly OwnParameters[];
  /** Typical (median absolute) residual of each frame, in errors. */
  readonly frameMisfit: readonly number[];
  readonly reducedChiSquare: number;
  /** Part of the variance of all tensors over frames and cells that the model explains. */
  readonly explainedVariance: number;
  readonly cells: number;
  /** Scatter of the frames' seeing, in the logarithm of the moment. */
  readonly seeingSpread: number;
  /** Growth of the discs (pixels of diameter per unit of defocus) as the stars alone tell it, and whether the focal ratio agrees. */
  readonly growth: {
    readonly value: number;
    readonly relativeError: number;
    readonly agrees: boolean | null;
  };
}

/** Residuals beyond this many errors count linearly (Huber). */
const HUBER = 2.5;
/** Seeing of a frame about the sweep's mean, in the logarithm of the moment: first guess (20 % of the width) and floor. */
const SEEING_SPREAD = 0.4;
const SEEING_FLOOR = 0.06;
/** Spread allowed to the logarithm of the discs' growth before it is known whether focal ratio and step size agree with the stars. */
const GROWTH_LOOSE = 1;
/** The same once they do: what is left are the focal ratio's rounding and an obstruction that nobody gave. */
const GROWTH_TIGHT = 0.04;
/** Cells' errors carry a floor; a fit that does much better than they say may lower the figures' errors by this factor of variance. */
const LEAST_CHI = 0.5;
/** Growth and focal ratio disagree beyond this many errors of their comparison. */
const GROWTH_DOUBT = 2.5;

/**
 * Fit the focal surfaces to all frames of a sweep at once, with seeing and tracking of every frame free.
 *
 * Seeing is held to the sweep's own mean by a prior whose width is learnt from the frames (three rounds): else a flat field would leave the
 * centre's focus unknown, since a wide star may be out of focus or badly seen.
 *
 * @param growth pixels of disc diameter per unit of defocus from focal ratio and pixel pitch; null when not known
 */
export function fitSweep(
  frames: readonly SweepFrame[],
  response: StarResponse,
  growth: number | null,
): SweepFit {
  let spread = SEEING_SPREAD;
  let prior = growth === null ? null : { growth, width: GROWTH_LOOSE };
  let solution = solve(frames, response, prior, spread, startSweep(frames, growth));
  let loose = describe(frames, response, solution.parameters, solution.normal, spread);
  let growthAgrees: boolean | null = null;
  for (let round = 0; round < 3; round += 1) {
    spread = seeingSpread(solution, frames.length, spread);
    solution = solve(frames, response, prior, spread, solution.parameters);
    if (round === 0) {
      loose = describe(frames, response, solution.parameters, solution.normal, spread);
      if (growth !== null) {
        const miss = Math.abs(loose.shared[5]! - Math.log(growth));
        growthAgrees = miss <= GROWTH_DOUBT * Math.hypot(errorAt(loose.covariance, 5), GROWTH_TIGHT);
        if (growthAgrees) prior = { growth, width: GROWTH_TIGHT };
      }
    }
  }
  const fit = describe(frames, response, solution.parameters, solution.normal, spread);
  return {
    ...fit,
    growth: {
      value: Math.exp(loose.shared[5]!),
      relativeError: errorAt(loose.covariance, 5),
      agrees: growthAgrees,
    },
  };
}

/**
 * Scatter of the frames' seeing: squares of their offsets from the mean over the number of offsets that the stars really tell (a frame
 * far from focus says nothing about its seeing and sits on the mean), as in MacKay 1992, Neural Computation 4, 415, section 4; the first
 * guess counts as one frame.
 */
function seeingSpread(
  { parameters, normal }: { readonly parameters: Float64Array; readonly normal: Float64Array },
  frames: number,
  used: number,
): number {
  const n = parameters.length;
  const factor = Float64Array.from(normal);
  if (!choleskyInPlace(factor, n)) return used;
  const inverse = choleskyInverse(factor, n);
  let [squares, told] = [SEEING_SPREAD ** 2, 1];
  for (let f = 0; f < frames; f += 1) {
    const own = ownAt(f);
    const variance = inverse[own * n + own]! - 2 * inverse[own * n + 7]! + inverse[7 * n + 7]!;
    squares += (parameters[own]! - parameters[7]!) ** 2;
    told += Math.max(0, 1 - variance / used ** 2);
  }
  return Math.min(SEEING_SPREAD, Math.max(SEEING_FLOOR, Math.sqrt(squares / told)));
}

/** Standard error of a shared parameter. */
export function errorAt(covariance: ArrayLike<number>, k: number): number {
  return Math.sqrt(covariance[k * SHARED_COUNT + k]!);
}

function ownAt(frame: number): number {
  return SHARED_COUNT + frame * OWN_COUNT;
}

function ownOf(parameters: ArrayLike<number>, frame: number): OwnParameters {
  const at = ownAt(frame);
  return { logMoment: parameters[at]!, plus: parameters[at + 1]!, cross: parameters[at + 2]! };
}

function solve(
  frames: readonly SweepFrame[],
  response: StarResponse,
  growthPrior: { readonly growth: number; readonly width: number } | null,
  spread: number,
  start: Float64Array,
): { parameters: Float64Array; normal: Float64Array } {
  const n = start.length;
  const reach = frames.at(-1)!.outward - frames[0]!.outward;
  const predicted = newDerivatives();
  const at = new Int32Array(SHARED_COUNT + OWN_COUNT);
  for (let k = 0; k < SHARED_COUNT; k += 1) at[k] = k;

  const fit = levenbergMarquardt(
    (p, normal, gradient) => {
      normal.fill(0);
      gradient.fill(0);
      let cost = 0;
      const prior = (k: number, miss: number, width: number, slope = 1): void => {
        cost += (miss / width) ** 2;
        gradient[k] = gradient[k]! - (slope * miss) / width ** 2;
        normal[k * n + k] = normal[k * n + k]! + (slope / width) ** 2;
      };
      frames.forEach((frame, f) => {
        const own = ownAt(f);
        const [logMoment, plus, cross] = [p[own]!, p[own + 1]!, p[own + 2]!];
        for (let k = 0; k < OWN_COUNT; k += 1) at[SHARED_COUNT + k] = own + k;
        for (const cell of frame.cells) {
          predictWithDerivatives(response, p, { logMoment, plus, cross }, cell, frame.outward, predicted);
          const { iso, dIso, dPlus, dCross } = predicted;
          cost += add(cell.iso - iso, cell.isoError, dIso, at, normal, gradient, n);
          cost += add(cell.plus - predicted.plus, cell.shearError, dPlus, at, normal, gradient, n);
          cost += add(cell.cross - predicted.cross, cell.shearError, dCross, at, normal, gradient, n);
        }
        // Seeing near the mean of the sweep (two parameters tied together), tracking small against the star.
        const miss = logMoment - p[7]!;
        cost += (miss / spread) ** 2;
        const weight = 1 / spread ** 2;
        gradient[own] = gradient[own]! - miss * weight;
        gradient[7] = gradient[7]! + miss * weight;
        normal[own * n + own] = normal[own * n + own]! + weight;
        normal[7 * n + 7] = normal[7 * n + 7]! + weight;
        normal[own * n + 7] = normal[own * n + 7]! - weight;
        const moment = Math.exp(p[7]!);
        prior(own + 1, plus, moment);
        prior(own + 2, cross, moment);
      });
      prior(6, p[6]!, 0.5 * Math.exp(p[7]!));
      if (growthPrior !== null) prior(5, p[5]! - Math.log(growthPrior.growth), growthPrior.width);
      // Surfaces bent by many times the sweep's own length are not to be believed.
      for (const k of [0, 1, 2, 3, 4]) prior(k, p[k]!, 5 * reach);
      return cost;
    },
    start,
    { maxIterations: 60, tolerance: 1e-7, costTolerance: 1e-8 },
  );
  return { parameters: fit.parameters, normal: fit.normal };
}

/** Add one datum to the normal equations; returns its (Huber) cost. */
function add(
  miss: number,
  error: number,
  d: Float64Array,
  at: Int32Array,
  normal: Float64Array,
  gradient: Float64Array,
  n: number,
): number {
  const size = Math.abs(miss) / error;
  const weight = (size <= HUBER ? 1 : HUBER / size) / (error * error);
  for (let a = 0; a < d.length; a += 1) {
    const da = d[a]!;
    if (da === 0) continue;
    const row = at[a]!;
    gradient[row] = gradient[row]! + weight * da * miss;
    for (let b = 0; b <= a; b += 1) {
      const k = row * n + at[b]!;
      normal[k] = normal[k]! + weight * da * d[b]!;
    }
  }
  return size <= HUBER ? size * size : HUBER * (2 * size - HUBER);
}

function describe(
  frames: readonly SweepFrame[],
  response: StarResponse,
  parameters: Float64Array,
  normal: Float64Array,
  spread: number,
): Omit<SweepFit, 'growth'> {
  const n = parameters.length;
  const into: SweepPrediction = { iso: 0, plus: 0, cross: 0 };
  const frameMisfit: number[] = [];
  let [chi, data, cells] = [0, 0, 0];
  let [residual, total] = [0, 0];
  const all = frames.flatMap((frame) => frame.cells);
  const mean = all.reduce((sum, cell) => sum + cell.iso, 0) / all.length;
  frames.forEach((frame, f) => {
    const misses: number[] = [];
    for (const cell of frame.cells) {
      predictCell(response, parameters, ownOf(parameters, f), cell, frame.outward, into);
      const parts = [
        (cell.iso - into.iso) / cell.isoError,
        (cell.plus - into.plus) / cell.shearError,
        (cell.cross - into.cross) / cell.shearError,
      ];
      for (const part of parts) {
        const size = Math.abs(part);
        chi += size <= HUBER ? size * size : HUBER * (2 * size - HUBER);
        misses.push(size);
        data += 1;
      }
      cells += 1;
      residual += (cell.iso - into.iso) ** 2 + (cell.plus - into.plus) ** 2 + (cell.cross - into.cross) ** 2;
      total += (cell.iso - mean) ** 2 + cell.plus ** 2 + cell.cross ** 2;
    }
    frameMisfit.push(median(misses));
  });
  const reducedChiSquare = chi / Math.max(1, data - n);
  const factor = Float64Array.from(normal);
  const covariance = new Float64Array(SHARED_COUNT * SHARED_COUNT).fill(NaN);
  if (choleskyInPlace(factor, n)) {
    const inverse = choleskyInverse(factor, n);
    for (let a = 0; a < SHARED_COUNT; a += 1) {
      for (let b = 0; b < SHARED_COUNT; b += 1) {
        covariance[a * SHARED_COUNT + b] = inverse[a * n + b]! * Math.max(LEAST_CHI, reducedChiSquare);
      }
    }
  }
  return {
    shared: parameters.slice(0, SHARED_COUNT),
    covariance,
    own: frames.map((_, f) => ownOf(parameters, f)),
    frameMisfit,
    reducedChiSquare,
    explainedVariance: total > 0 ? 1 - residual / total : 0,
    cells,
    seeingSpread: spread,
  };
}
