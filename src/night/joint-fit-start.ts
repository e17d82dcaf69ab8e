import { quantile } from 'simple-statistics';
import { robustLinearFit } from '../field/index.js';
import { MOMENT_PER_FWHM2 } from './blur-response.js';
import type { FitFrame } from './joint-fit-data.js';
import {
  makeFrameOptics,
  OWN,
  predictCellValues,
  setFrameOptics,
  sharedNumbers,
  type FrameParameters,
  type SharedParameters,
} from './joint-fit-model.js';
import type { FitProblem } from './joint-fit-normal.js';
import { solveJointFit, type FitSolution } from './joint-fit-solve.js';

export const NOTHING_SHARED: SharedParameters = {
  tx: 0,
  ty: 0,
  gx: 0,
  gy: 0,
  km: 0,
  ka: 0,
  rot: 0,
  rotU: 0,
  rotV: 0,
  comaG: 0,
  comaX: 0,
  comaY: 0,
};

/** Focus values tried for a frame, in FWHM of the night. */
const FOCUS_GRID = [-2.4, -1.3, -0.7, -0.3, 0.3, 0.7, 1.3, 2.4];
/** Cells of a frame that take part in choosing its start. */
const START_CELLS = 30;
/** Frames that take part in the search for a start; the polish uses more. */
const SEARCH_FRAMES = 10;

/** Width of a sharp star of the night, pixels FWHM: from the lower quartile of the frames' moments. */
export function sharpWidthPx(frames: readonly FitFrame[]): number {
  return Math.sqrt(
    quantile(
      frames.map((frame) => frame.meanIso),
      0.25,
    ) / MOMENT_PER_FWHM2,
  );
}

/**
 * Find the shared optics of the night from scratch: several starts that differ in size and relative signs of tilt, curvature and
 * astigmatism, a short fit from each, and a full one from the best three. The products z0 * tilt and the like leave
 * several minima, of which one is the deepest; one global sign stays free by nature.
 */
export function searchSharedOptics(problem: FitProblem): FitSolution {
  const every = Math.max(1, problem.frames.length / SEARCH_FRAMES);
  const frames = problem.frames.filter((_, f) => Math.floor(f / every) !== Math.floor((f - 1) / every));
  const small: FitProblem = { ...problem, frames };
  const width = sharpWidthPx(frames);
  const [du, dv] = steepestAxis(frames);
  const starts: SharedParameters[] = [];
  for (const size of [0.5, 1.6])
    for (const km of [-0.8, 0.8])
      for (const ka of [-0.4, 0.4])
        starts.push({
          ...NOTHING_SHARED,
          ...(problem.free.includes('gx')
            ? { gx: size * du * width, gy: size * dv * width }
            : { tx: size * du * width, ty: size * dv * width }),
          km: km * width * (size > 1 ? 1.5 : 0.5),
          ka: ka * width,
        });
  // A slope in focus in its middle softens two opposite sides alike: it shows as a trough, not as a slope of size.
  const [cu, cv] = troughAxis(frames);
  for (const size of [0.8, 2])
    starts.push({
      ...NOTHING_SHARED,
      ...(problem.free.includes('gx')
        ? { gx: size * cu * width, gy: size * cv * width }
        : { tx: size * cu * width, ty: size * cv * width }),
      ka: 0.05 * width,
    });
  const short = starts
    .map((start) => solveJointFit(small, start, startFrames(small, start), 6))
    .sort((a, b) => a.cost - b.cost);
  return short
    .slice(0, 3)
    .map((found) => solveJointFit(small, found.shared, startFrames(small, found.shared), 30))
    .reduce((best, next) => (next.cost < best.cost ? next : best));
}

/** Start values of every frame for given optics: the focus of a grid, with matching seeing, that fits its cells best. */
export function startFrames(
  { frames, seeingLog, seeingSpread }: FitProblem,
  shared: SharedParameters,
): FrameParameters[] {
  const width = Math.exp(seeingLog / 2) / Math.sqrt(MOMENT_PER_FWHM2);
  const numbers = sharedNumbers(shared);
  return frames.map((frame) => startFrame(frame, numbers, width, seeingLog, seeingSpread));
}

const values = new Float64Array(3);
const optics = makeFrameOptics();
const own = new Float64Array(OWN);

function startFrame(
  frame: FitFrame,
  shared: Float64Array,
  width: number,
  seeingLog: number,
  seeingSpread: number,
): FrameParameters {
  const every = Math.ceil(frame.cells.length / START_CELLS);
  const cells = every > 1 ? frame.cells.filter((_, k) => k % every === 0) : frame.cells;
  let plus = 0;
  let cross = 0;
  for (const cell of frame.cells) {
    plus += cell.plus / frame.cells.length;
    cross += cell.cross / frame.cells.length;
  }
  const setOptics = (seeing: number, focus: number): void => {
    own[0] = seeing;
    own[1] = focus;
    own[2] = plus;
    own[3] = cross;
    setFrameOptics(shared, own, 0, frame, optics);
  };
  let best: FrameParameters = { seeing: frame.meanIso, focus: 0, plus: 0, cross: 0 };
  let bestCost = Infinity;
  for (const step of FOCUS_GRID) {
    const focus = step * width;
    let seeing = frame.meanIso;
    // Lower the undisturbed moment until the mean size is right.
    for (let round = 0; round < 4; round++) {
      let ratio = 0;
      setOptics(seeing, focus);
      for (const cell of cells) {
        predictCellValues(optics, cell, values);
        ratio += cell.iso / values[0] / cells.length;
      }
      seeing = Math.max(0.1 * frame.meanIso, seeing * ratio);
    }
    let cost = ((Math.log(seeing) - seeingLog) / seeingSpread) ** 2;
    setOptics(seeing, focus);
    for (const cell of cells) {
      predictCellValues(optics, cell, values);
      cost += Math.min(25, ((cell.iso - values[0]) / cell.isoError) ** 2);
      cost += Math.min(25, ((cell.plus - values[1]) / cell.shearError) ** 2);
      cost += Math.min(25, ((cell.cross - values[2]) / cell.shearError) ** 2);
    }
    if (cost < bestCost) {
      bestCost = cost;
      best = { seeing, focus, plus, cross };
    }
  }
  return best;
}

/** Axis along which star size curves most over the field, from the frames' mean second derivatives; unit vector. */
export function troughAxis(frames: readonly FitFrame[]): [number, number] {
  let plus = 0;
  let cross = 0;
  for (const frame of frames) {
    const fit = robustLinearFit(
      frame.cells.map((cell) => [1, cell.u, cell.v, cell.r2, cell.u ** 2 - cell.v ** 2, 2 * cell.u * cell.v]),
      frame.cells.map((cell) => cell.iso),
      frame.cells.map((cell) => cell.isoError),
    );
    if (!fit) continue;
    const weight = 1 / (fit.covariance[4][4] + fit.covariance[5][5]);
    plus += weight * fit.coefficients[4];
    cross += weight * fit.coefficients[5];
  }
  const angle = Math.atan2(cross, plus) / 2;
  return [Math.cos(angle), Math.sin(angle)];
}

/** Common axis of the frames' slopes of star size over the field: main axis of the slopes' second moments, unit vector. */
export function steepestAxis(frames: readonly FitFrame[]): [number, number] {
  let uu = 0;
  let uv = 0;
  let vv = 0;
  for (const frame of frames) {
    const fit = robustLinearFit(
      frame.cells.map((cell) => [1, cell.u, cell.v, cell.r2]),
      frame.cells.map((cell) => cell.iso),
      frame.cells.map((cell) => cell.isoError),
    );
    if (!fit) continue;
    const [, gu, gv] = fit.coefficients;
    const weight = 1 / (fit.covariance[1][1] + fit.covariance[2][2]);
    uu += weight * gu * gu;
    uv += weight * gu * gv;
    vv += weight * gv * gv;
  }
  const angle = Math.atan2(2 * uv, uu - vv) / 2;
  return [Math.cos(angle), Math.sin(angle)];
}
