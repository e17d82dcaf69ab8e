import { choleskyInPlace, choleskyInverse, choleskySolveInPlace } from '../stats/index.js';
import { choosePixels, keepPixels, layPixels, nearPixels, type KeptPixels } from './chosen-pixels.js';
import { GAMMA_MAX, GAMMA_MIN, type MoffatShape } from './moffat-profile.js';
import { placeModel, type PlacedModel } from './placed-model.js';
import type { StarWindow } from './star-window.js';

/** One star's pixels for the joint fit, and its own parameters, which the fit moves. */
export interface JointStar {
  readonly pixels: KeptPixels;
  /** Weight of a squared residual, ADU^-2. */
  readonly weight: number;
  /** Height before the pixel (ADU), and position counted as the pixels are. */
  peak: number;
  x: number;
  y: number;
  /** Weighted sum of squared residuals per pixel, at the last shape tried. */
  misfit: number;
}

/** Keep the usable pixels within `radiusPx` of 0-based (x, y) for the joint fit; `weight` as in `JointStar`. */
export function takeJointStar(
  window: StarWindow,
  { x, y, peak }: { readonly x: number; readonly y: number; readonly peak: number },
  weight: number,
  radiusPx: number,
  pedestal: number,
): JointStar {
  const pixels = keepPixels(choosePixels(window, x, y, radiusPx, pedestal));
  return { pixels, weight, peak, x: x - pixels.x0, y: y - pixels.y0, misfit: 0 };
}

/** The star with only its pixels within `radiusPx` of where it lies now. */
export function withinRadius(star: JointStar, radiusPx: number): JointStar {
  const { pixels, x, y } = star;
  return { ...star, pixels: nearPixels(pixels, x + pixels.x0, y + pixels.y0, radiusPx) };
}

/** The common shape. */
export interface JointFit {
  readonly shape: MoffatShape;
  /** Standard error of the logarithm of its width (geometric mean of both axes, before the pixel). */
  readonly logWidthError: number;
}

/** Parameters of a star's own (peak, x, y) and those that all share (a, b, c, gamma). */
export const JOINT_OWN = 3;
const SHARED = 4;
/** Numbers in a row of the placed model's normal equations. */
const ROW = 8;
const ROUNDS = 12;
/** The fit rests when a step promises less than this part of the sum of squares. */
const AT_REST = 1e-4;
/** The farthest that a star moves in one step, px. */
const LONGEST_STEP_PX = 0.4;
const MOST_DAMPING = 1e4;

/**
 * One Moffat shape for all stars together, each with a height and position of its own: Levenberg-Marquardt steps of the shared parameters, those of each star eliminated (Schur complement;
 * Golub & Pereyra 1973 on separable problems).
 *
 * A star whose half-maximum circle holds a handful of pixels fits any profile; many of them, centred anywhere between the pixels, sample their common one
 * densely (Anderson & King 2000). Moves the stars' own parameters. `prior`: what is known of gamma beforehand, in the units of the weights. Null when the fit fails.
 */
export function fitJointly(
  stars: readonly JointStar[],
  nodes: Float64Array,
  start: MoffatShape,
  prior: { readonly gamma: number; readonly spread: number },
): JointFit | null {
  let shared = Float64Array.of(start.a, start.b, start.c, start.gamma);
  if (!isPossible(shared)) return null;
  const strength = 1 / prior.spread ** 2;
  let system = makeSystem(stars.length);
  let trial = makeSystem(stars.length);
  const evaluate = (at: Float64Array, into: JointSystem): void => {
    into.normal.fill(0);
    into.gradient.fill(0);
    into.ownPromise = 0;
    into.cost = strength * (at[3] - prior.gamma) ** 2;
    into.normal[SHARED * SHARED - 1] = strength;
    into.gradient[SHARED - 1] = strength * (prior.gamma - at[3]);
    for (let k = 0; k < stars.length; k += 1) addStar(stars[k], k, nodes, at, into);
  };
  evaluate(shared, system);
  const factor = new Float64Array(SHARED * SHARED);
  let damping = 0;
  for (let round = 0; round < ROUNDS && damping < MOST_DAMPING; round += 1) {
    factor.set(system.normal);
    for (let s = 0; s < SHARED; s += 1) factor[s * (SHARED + 1)] *= 1 + damping;
    const step = system.gradient.slice();
    if (!choleskyInPlace(factor, SHARED)) return null;
    choleskySolveInPlace(factor, SHARED, step);
    const promise = step.reduce((sum, d, s) => sum + d * system.gradient[s], system.ownPromise);
    const next = shared.map((value, s) => value + step[s]);
    const before = stars.map(({ peak, x, y }) => [peak, x, y]);
    let isBetter = isPossible(next);
    if (isBetter) {
      stars.forEach((star, k) => moveStar(star, k, system, step, 1 / (1 + damping)));
      evaluate(next, trial);
      isBetter = trial.cost <= system.cost;
    }
    if (isBetter) {
      shared = next;
      [system, trial] = [trial, system];
      damping = damping < 1e-3 ? 0 : damping / 10;
      if (promise < AT_REST * system.cost) break;
    } else {
      stars.forEach((star, k) => ([star.peak, star.x, star.y] = before[k]));
      damping = Math.max(1e-2, damping * 10);
    }
  }
  const [a, b, c, gamma] = shared;
  return { shape: { a, b, c, gamma }, logWidthError: logWidthError(shared, system.normal) };
}

function logWidthError([a, b, c]: Float64Array, normal: Float64Array): number {
  const factor = normal.slice();
  if (!choleskyInPlace(factor, SHARED)) return Infinity;
  const inverse = choleskyInverse(factor, SHARED);
  // ln width = -ln(a c - b^2) / 4 + ...
  const slope = [c, -2 * b, a].map((g) => g / (4 * (a * c - b * b)));
  let variance = 0;
  for (let i = 0; i < 3; i += 1)
    for (let j = 0; j < 3; j += 1) variance += slope[i] * slope[j] * inverse[i * SHARED + j];
  return Math.sqrt(variance);
}

function isPossible([a, b, c, gamma]: Float64Array): boolean {
  return a > 0 && a * c - b * b > 0 && gamma > GAMMA_MIN && gamma < GAMMA_MAX;
}

/** Normal equations of the shared parameters, and how each star's own follow them. */
interface JointSystem {
  readonly normal: Float64Array;
  readonly gradient: Float64Array;
  cost: number;
  /** What the stars' own steps promise to take off the cost. */
  ownPromise: number;
  /** Per star: its own step, and what a unit of each shared parameter takes from it. */
  readonly ownSteps: Float64Array;
  readonly cross: Float64Array;
}

function makeSystem(stars: number): JointSystem {
  return {
    normal: new Float64Array(SHARED * SHARED),
    gradient: new Float64Array(SHARED),
    cost: 0,
    ownPromise: 0,
    ownSteps: new Float64Array(JOINT_OWN * stars),
    cross: new Float64Array(JOINT_OWN * SHARED * stars),
  };
}

function moveStar(
  star: JointStar,
  k: number,
  { ownSteps, cross }: JointSystem,
  step: Float64Array,
  part: number,
): void {
  const own = [0, 1, 2].map((i) => {
    let move = ownSteps[k * JOINT_OWN + i];
    for (let s = 0; s < SHARED; s += 1) move -= cross[(k * SHARED + s) * JOINT_OWN + i] * step[s];
    return part * move;
  });
  const cut = Math.min(1, LONGEST_STEP_PX / Math.max(1e-9, Math.hypot(own[1], own[2])));
  star.peak += cut * own[0];
  star.x += cut * own[1];
  star.y += cut * own[2];
}

/** The star under the shared shape, on the desk, for `collectResiduals`. */
export function placeJointStar(
  star: JointStar,
  nodes: Float64Array,
  { a, b, c, gamma }: MoffatShape,
): PlacedModel {
  const model = layStar(star, nodes);
  model.sums([star.peak, star.x, star.y, a, b, c], gamma);
  return model;
}

function layStar(star: JointStar, nodes: Float64Array): PlacedModel {
  return placeModel(layPixels(star.pixels), nodes);
}

const own = new Float64Array(JOINT_OWN * JOINT_OWN);
const line = new Float64Array(JOINT_OWN);

/** Add what star number `k` leaves of its normal equations to those of the shared parameters. */
function addStar(
  star: JointStar,
  k: number,
  nodes: Float64Array,
  shared: Float64Array,
  system: JointSystem,
): void {
  const model = layStar(star, nodes);
  const cost = model.sums([star.peak, star.x, star.y, shared[0], shared[1], shared[2]], shared[3]);
  star.misfit = (star.weight * cost) / star.pixels.count;
  system.cost += star.weight * cost;
  for (let i = 0; i < JOINT_OWN; i += 1) {
    for (let j = 0; j <= i; j += 1) own[i * JOINT_OWN + j] = model.normal[i * ROW + j];
    line[i] = model.gradient[i];
  }
  if (!choleskyInPlace(own, JOINT_OWN)) {
    system.ownSteps.fill(0, k * JOINT_OWN, (k + 1) * JOINT_OWN);
    system.cross.fill(0, k * JOINT_OWN * SHARED, (k + 1) * JOINT_OWN * SHARED);
    return;
  }
  choleskySolveInPlace(own, JOINT_OWN, line);
  system.ownSteps.set(line, k * JOINT_OWN);
  for (let i = 0; i < JOINT_OWN; i += 1) system.ownPromise += star.weight * line[i] * model.gradient[i];
  for (let s = 0; s < SHARED; s += 1) {
    for (let i = 0; i < JOINT_OWN; i += 1) line[i] = model.normal[(JOINT_OWN + s) * ROW + i];
    choleskySolveInPlace(own, JOINT_OWN, line);
    system.cross.set(line, (k * SHARED + s) * JOINT_OWN);
    let g = model.gradient[JOINT_OWN + s];
    for (let i = 0; i < JOINT_OWN; i += 1) g -= line[i] * model.gradient[i];
    system.gradient[s] += star.weight * g;
    for (let t = 0; t <= s; t += 1) {
      let sum = model.normal[(JOINT_OWN + s) * ROW + JOINT_OWN + t];
      for (let i = 0; i < JOINT_OWN; i += 1) sum -= line[i] * model.normal[(JOINT_OWN + t) * ROW + i];
      system.normal[s * SHARED + t] += star.weight * sum;
    }
  }
}
