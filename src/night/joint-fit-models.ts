import { median } from 'simple-statistics';
import { courseMisfit } from './joint-fit-course.js';
import type { FitFrame } from './joint-fit-data.js';
import type { FieldMeans, SharedName, SharedParameters } from './joint-fit-model.js';
import type { FitProblem } from './joint-fit-normal.js';
import { solveJointFit, type FitSolution } from './joint-fit-solve.js';
import { searchSharedOptics, sharpWidthPx, steepestAxis, startFrames } from './joint-fit-start.js';

/** The chosen account of the night's field patterns, with how much worse it gets without each part (standard errors). */
export interface ChosenModel {
  readonly problem: FitProblem;
  readonly solution: FitSolution;
  /** Scatter of the cells about the model, in units of their errors; standard errors are already raised by it. */
  readonly scatter: number;
  readonly tilt: number;
  readonly curvature: number;
  readonly rotation: number;
  readonly coma: number;
  readonly follows: { readonly what: 'sensor' | 'gravity' | 'unknown'; readonly significance: number };
}

/** Frames that decide the shared optics; more add little and cost time. */
const SHARED_FRAMES = 24;
/** A part more must improve the fit by this many standard errors to stay (the simplest adequate account is preferred). */
const WORTH_KEEPING = 4;
const FEWEST_PER_SIDE = 3;
const TILT: readonly SharedName[] = ['tx', 'ty', 'gx', 'gy'];
const BOWL: readonly SharedName[] = ['km', 'ka'];
const EXTRAS: Readonly<Record<'rot' | 'coma', readonly SharedName[]>> = {
  rot: ['rot', 'rotU', 'rotV'],
  coma: ['comaG', 'comaX', 'comaY'],
};

/**
 * Fit the night with tilt, curvature and astigmatism; then ask the data whether the tilt turns over with the pier side, whether
 * a field rotation is needed, and what is lost without each part.
 *
 * @param turnsPx trail at half a diagonal that the turn between the frames speaks for, pixels; null when they do not tell.
 */
export function chooseModel(
  frames: readonly FitFrame[],
  means: FieldMeans,
  turnsPx: number | null = null,
): ChosenModel {
  const picked = evenly(frames, SHARED_FRAMES);
  const width = sharpWidthPx(picked);
  const ratios = picked
    .flatMap((frame) => (frame.widthRatio === null ? [] : [frame.widthRatio]))
    .sort((a, b) => a - b);
  let problem: FitProblem = {
    frames: picked,
    means,
    free: ['tx', 'ty', 'km', 'ka'],
    seeingLog: Math.log(0.2 * width * width),
    seeingSpread: 0.5,
    discPx: 4 * width,
    baseRatio:
      ratios.length > 0 ? ratios[Math.min(ratios.length - 1, Math.floor(0.7 * ratios.length))] : 1.14,
  };
  let found = searchSharedOptics(problem);
  let solution = polish(problem, found.shared);
  // The night's own middle replaces the first guess of the undisturbed size.
  problem = { ...problem, seeingLog: median(solution.own.map((own) => Math.log(own.seeing))) };
  solution = solveJointFit(problem, solution.shared, solution.own, 15);

  const follows = tiltFollows(problem, solution);
  if (follows.better) ({ problem, solution } = follows.better);
  const scatter2 = Math.max(1, solution.data / degreesOfFreedom(problem));
  const worse = (other: FitSolution): number => Math.sqrt(Math.max(0, other.data - solution.data) / scatter2);

  const reduced = [TILT, BOWL].map((names) => without(problem, solution, names));
  const reducedFrom = solution;
  // A part taken away that fits better shows a deeper minimum that was missed: start again from there.
  const deeper = reduced.reduce((a, b) => (b.cost < a.cost ? b : a));
  if (deeper.cost < solution.cost) {
    const again = solveJointFit(problem, deeper.shared, deeper.own, 25);
    if (again.cost < solution.cost) solution = again;
  }

  // The better of the two extras first; the other only for what that one leaves.
  const disguised = Math.max(...reduced.map(worse)) > WORTH_KEEPING;
  const significance = { rot: 0, coma: 0 };
  const extras: ('rot' | 'coma')[] = ['rot', 'coma'];
  while (extras.length > 0) {
    const tried = extras.map((extra) => ({ extra, ...withExtra(problem, solution, extra, disguised) }));
    const best = tried.reduce((a, b) => (b.solution.cost < a.solution.cost ? b : a));
    significance[best.extra] = Math.sqrt(Math.max(0, solution.data - best.solution.data) / scatter2);
    extras.splice(extras.indexOf(best.extra), 1);
    if (significance[best.extra] < WORTH_KEEPING) {
      significance[best.extra] = 0;
      break;
    }
    if (best.extra === 'rot' && !(isTurn(best.solution.shared) && isBorneOut(best, solution, turnsPx))) {
      significance.rot = 0;
      continue;
    }
    ({ problem, solution } = best);
  }
  // Significance against the account finally chosen.
  for (const extra of ['rot', 'coma'] as const)
    if (problem.free.includes(EXTRAS[extra][0]))
      significance[extra] = worse(without(problem, solution, EXTRAS[extra]));
  const [tilt, curvature] = (
    solution === reducedFrom ? reduced : [TILT, BOWL].map((names) => without(problem, solution, names))
  ).map(worse);
  const scale = Math.max(1, solution.data / degreesOfFreedom(problem));
  found = {
    ...solution,
    sharedCovariance: solution.sharedCovariance.map((row) => row.map((c) => c * scale)),
    focusError: solution.focusError.map((error) => error * Math.sqrt(scale)),
  };
  return {
    problem,
    solution: found,
    scatter: Math.sqrt(solution.data / degreesOfFreedom(problem)),
    tilt,
    curvature,
    rotation: significance.rot,
    coma: significance.coma,
    follows: { what: follows.what, significance: follows.significance },
  };
}

/** A turn about a point in reach: a negative one is none, and about a far centre it is a drift. */
function isTurn({ rot, rotU, rotV }: SharedParameters): boolean {
  return rot > 0 && Math.hypot(rotU, rotV) < 4 * rot;
}

/**
 * Rotation and astigmatism both draw corner stars out around the centre, and together they can imitate almost any bowl. So a turn that the
 * frames themselves do not show (registration) has to account for the shapes without the bowl better than the bowl does without the turn.
 */
function isBorneOut(
  found: { problem: FitProblem; solution: FitSolution },
  bowlAlone: FitSolution,
  turnsPx: number | null,
): boolean {
  const { problem, solution } = found;
  const trail = Math.sqrt(12 * solution.shared.rot);
  if (turnsPx !== null && turnsPx > 0.3 * trail) return true;
  return without(problem, solution, BOWL).data < bowlAlone.data;
}

function polish(problem: FitProblem, shared: SharedParameters): FitSolution {
  return solveJointFit(problem, shared, startFrames(problem, shared), 40);
}

function without(problem: FitProblem, solution: FitSolution, names: readonly SharedName[]): FitSolution {
  const shared: Record<SharedName, number> = { ...solution.shared };
  for (const name of names) shared[name] = 0;
  const free = problem.free.filter((name) => !names.includes(name));
  const reduced = { ...problem, free };
  const stay = solveJointFit(reduced, shared, solution.own, 15);
  const anew = solveJointFit(reduced, shared, startFrames(reduced, shared), 15);
  return stay.cost < anew.cost ? stay : anew;
}

/**
 * Add rotation or coma. A few steps from the account at hand tell whether it gains at all; only then, or when a tilt or curvature
 * that may be coma in disguise is there, the fit is started again without them.
 */
function withExtra(
  problem: FitProblem,
  solution: FitSolution,
  extra: 'rot' | 'coma',
  disguised: boolean,
): { problem: FitProblem; solution: FitSolution } {
  const larger: FitProblem = { ...problem, free: [...problem.free, ...EXTRAS[extra]] };
  const [du, dv] = steepestAxis(problem.frames);
  // From the optics as fitted, and from a flat field: the extra may have been taken for tilt or curvature.
  const flat = { ...solution.shared, tx: 0, ty: 0, gx: 0, gy: 0, km: 0, ka: 0 };
  const width = problem.discPx / 4;
  const tries = (
    extra === 'rot'
      ? [{ rot: 0.02 * width * width }]
      : [{ comaG: 0.2 * width }, { comaX: 0.2 * width * du, comaY: 0.2 * width * dv }]
  ).map((more) => solveJointFit(larger, { ...solution.shared, ...more }, solution.own, 8));
  const quick = tries.reduce((a, b) => (b.cost < a.cost ? b : a));
  if (solution.cost - quick.cost < WORTH_KEEPING && !disguised) return { problem: larger, solution: quick };
  const starts =
    extra === 'rot'
      ? [{ ...flat, rot: 0.1 * width * width }]
      : [
          ...[-1, 1].map((side) => ({
            ...flat,
            comaG: 0.3 * width,
            comaX: 0.3 * side * width * du,
            comaY: 0.3 * side * width * dv,
          })),
        ];
  const best = [
    solveJointFit(larger, quick.shared, quick.own, 20),
    ...starts.map((shared) => solveJointFit(larger, shared, startFrames(larger, shared), 20)),
  ].reduce((a, b) => (b.cost < a.cost ? b : a));
  return { problem: larger, solution: best };
}

/** Does the tilt keep its place on the sensor across the pier sides, or turn over with gravity? */
function tiltFollows(
  problem: FitProblem,
  solution: FitSolution,
): {
  what: 'sensor' | 'gravity' | 'unknown';
  significance: number;
  better: { problem: FitProblem; solution: FitSolution } | null;
} {
  const turned = problem.frames.filter((frame) => frame.side === -1).length;
  if (turned < FEWEST_PER_SIDE || problem.frames.length - turned < FEWEST_PER_SIDE) {
    return { what: 'unknown', significance: 0, better: null };
  }
  const free = problem.free.map((name) => (name === 'tx' ? 'gx' : name === 'ty' ? 'gy' : name));
  const gravity: FitProblem = { ...problem, free };
  const start = { ...solution.shared, gx: solution.shared.tx, gy: solution.shared.ty, tx: 0, ty: 0 };
  const searched = searchSharedOptics(gravity);
  const fits = [start, searched.shared].map((shared) =>
    solveJointFit(gravity, shared, startFrames(gravity, shared), 25),
  );
  const other = fits.reduce((a, b) => (b.cost < a.cost ? b : a));
  const scale = Math.max(1, Math.min(solution.data, other.data) / degreesOfFreedom(problem));
  // Turning a tilt over and turning focus over look alike in pictures without curvature: the course of focus tells them apart.
  const width = problem.discPx / 4;
  const course = (fit: FitSolution): number =>
    courseMisfit(
      problem.frames,
      fit.own.map((own) => own.focus),
      fit.focusError,
      width,
    );
  const difference = (solution.data - other.data) / scale + course(solution) - course(other);
  const significance = Math.sqrt(Math.abs(difference));
  if (significance < 3) return { what: 'unknown', significance, better: null };
  return difference > 0
    ? { what: 'gravity', significance, better: { problem: gravity, solution: other } }
    : { what: 'sensor', significance, better: null };
}

function degreesOfFreedom(problem: FitProblem): number {
  // Three parts of the tensor and two third moments a cell.
  const data = problem.frames.reduce(
    (sum, frame) =>
      sum + frame.cells.reduce((n, cell) => n + (Number.isFinite(cell.skewX + cell.skewY) ? 5 : 3), 0),
    0,
  );
  return Math.max(1, data - 4 * problem.frames.length - problem.free.length);
}

function evenly(frames: readonly FitFrame[], most: number): readonly FitFrame[] {
  if (frames.length <= most) return frames;
  return Array.from({ length: most }, (_, k) => frames[Math.floor((k * frames.length) / most)]);
}
