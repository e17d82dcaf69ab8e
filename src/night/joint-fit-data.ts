import { median } from 'simple-statistics';
import { fieldPosition } from '../field/index.js';
import type { FocusCourse } from './joint-fit-course.js';
import { micronPerDiscPx } from './joint-fit-units.js';
import type { JudgedFrame } from './types.js';

/** One field cell of one frame as the joint fit sees it: place (r = 1 at the corner), tensor in three independent parts, errors. */
export interface FitCell {
  readonly u: number;
  readonly v: number;
  readonly r2: number;
  /** (Mxx + Myy)/2, (Mxx - Myy)/2 and Mxy, pixel^2. */
  readonly iso: number;
  readonly plus: number;
  readonly cross: number;
  readonly isoError: number;
  readonly shearError: number;
  /** Normalised third moment along x and y, and its error; NaN where not measured. */
  readonly skewX: number;
  readonly skewY: number;
  readonly skewError: number;
}

/** One frame as the joint fit sees it. */
export interface FitFrame {
  /** Index in the list given to `fitNight`. */
  readonly index: number;
  readonly file: string;
  readonly cells: readonly FitCell[];
  /** Mean of the cells' (Mxx + Myy)/2, pixel^2. */
  readonly meanIso: number;
  /** +1 or -1: side of the pier (first side seen is +1). */
  readonly side: 1 | -1;
  /** What header and clock say about its focus. */
  readonly course: FocusCourse;
  /** Exposure relative to the longest of the night: a field rotation's trail grows with it. */
  readonly exposure: number;
  /** Robust sum of squares of the third moments if there is no coma: what a fit without coma leaves of them. */
  readonly skewData: number;
  /** Half-flux diameter over FWHM, and its error; null when not measured or too trailed to mean anything. */
  readonly widthRatio: number | null;
  readonly widthRatioError: number;
}

/** Fewest cells that can carry a frame's part of the fit. */
const FEWEST_CELLS = 6;
/** Floor of a cell's error, part of its size: what no star average gets below (sampling, crowding, flat field). */
const MOMENT_FLOOR = 0.006;
const RATIO_FLOOR = 0.008;
const SKEW_FLOOR = 0.006;
/** Residuals beyond this many errors count linearly (Huber): one bad cell must not bend the night. */
export const HUBER = 3;

/**
 * Turn frames of one camera set-up into the fit's data. Frames with fewer than six usable cells are left out.
 * Pixel-phase, neighbours and the like put a floor of 0.6 % under the moments' errors.
 */
export function fitData(frames: readonly JudgedFrame[], indices: readonly number[]): FitFrame[] {
  const longest = Math.max(...frames.map((f) => f.header.exposureSeconds ?? 0), 1e-9);
  const sides = frames.map(pierSide);
  const first = sides.find((side) => side !== null) ?? null;
  const micron = micronPerDiscPx(frames);
  const start = Math.min(...frames.map((f) => Date.parse(f.header.dateObs ?? '')).filter(Number.isFinite));
  return frames.flatMap((frame, k) => {
    const cells = frame.field.cells.flatMap((cell) => {
      const { widthPx, heightPx } = frame.image;
      const at = fieldPosition(cell.x, cell.y, widthPx, heightPx);
      const iso = (cell.mxx + cell.myy) / 2;
      if (!(iso > 0) || !Number.isFinite(cell.mxy) || !(cell.mError > 0)) return [];
      const error = Math.hypot(cell.mError, MOMENT_FLOOR * iso);
      return [
        {
          u: at.u,
          v: at.v,
          // The mean of r^2 over the cell's stars, not r^2 of their mean place: a bowl seen by wide cells would read too shallow.
          r2: at.r2 + (4 * (cell.spreadPx2 ?? 0)) / (widthPx * widthPx + heightPx * heightPx),
          iso,
          plus: (cell.mxx - cell.myy) / 2,
          cross: cell.mxy,
          isoError: error,
          // Photon noise of the half difference is 1/sqrt(2) of that of one component.
          shearError: error * Math.SQRT1_2,
          skewX: cell.skewX,
          skewY: cell.skewY,
          // What no average of stars gets below: one-sided neighbours, uneven sampling of the pixel.
          skewError: Math.hypot(cell.skewError, SKEW_FLOOR),
        },
      ];
    });
    if (cells.length < FEWEST_CELLS) return [];
    const merged = mergeCells(cells);
    const { fwhm, hfd } = frame;
    // A trail, a film of dew or cloud changes the ratio too: only calm, clear frames may speak of focus by it.
    const usable =
      fwhm.px !== null &&
      hfd.px !== null &&
      (frame.elongation ?? 1) < 1.15 &&
      (frame.transparency === null || frame.transparency > 0.93);
    return [
      {
        index: indices[k],
        file: frame.file,
        cells: merged,
        skewData: skewSquares(merged),
        meanIso: median(cells.map((cell) => cell.iso)),
        course: courseOf(frame, k, start, micron),
        side: sides[k] === null || sides[k] === first ? (1 as const) : (-1 as const),
        exposure: (frame.header.exposureSeconds ?? longest) / longest,
        widthRatio: usable ? hfd.px / fwhm.px : null,
        widthRatioError: usable
          ? Math.hypot(
              RATIO_FLOOR,
              0.12 / Math.sqrt(Math.max(1, frame.stars.measured)),
              (fwhm.standardError ?? 0) / fwhm.px,
              (hfd.standardError ?? 0) / hfd.px,
            )
          : Infinity,
      },
    ];
  });
}

/** Low-order patterns need no finer grid than this; fewer data make the fit faster. */
const FINEST_GRID = 5;

/** Average the cells on a grid of at most 5 x 5 over the sensor, weights by error; a coarse frame stays as it is. */
function mergeCells(cells: readonly FitCell[]): readonly FitCell[] {
  if (cells.length <= FINEST_GRID * (FINEST_GRID + 1)) return cells;
  const reach = (pick: (cell: FitCell) => number): number =>
    Math.max(...cells.map((c) => Math.abs(pick(c)))) + 1e-9;
  const [reachU, reachV] = [reach((c) => c.u), reach((c) => c.v)];
  const bins = new Map<number, FitCell[]>();
  for (const cell of cells) {
    const column = Math.floor(((cell.u / reachU + 1) / 2) * FINEST_GRID);
    const row = Math.floor(((cell.v / reachV + 1) / 2) * FINEST_GRID);
    const list = bins.get(row * FINEST_GRID + column);
    if (list) list.push(cell);
    else bins.set(row * FINEST_GRID + column, [cell]);
  }
  return [...bins.values()].map(meanCell);
}

/** Mean of some cells, weighted by the errors of their sizes. */
function meanCell(cells: readonly FitCell[]): FitCell {
  let total = 0;
  for (const { isoError } of cells) total += 1 / (isoError * isoError);
  const sum = { u: 0, v: 0, r2: 0, iso: 0, plus: 0, cross: 0, skewX: 0, skewY: 0, skewVariance: 0 };
  for (const cell of cells) {
    const weight = 1 / (cell.isoError * cell.isoError) / total;
    sum.u += weight * cell.u;
    sum.v += weight * cell.v;
    sum.r2 += weight * cell.r2;
    sum.iso += weight * cell.iso;
    sum.plus += weight * cell.plus;
    sum.cross += weight * cell.cross;
    sum.skewX += weight * cell.skewX;
    sum.skewY += weight * cell.skewY;
    sum.skewVariance += weight * cell.skewError * cell.skewError;
  }
  const { u, v, r2, iso, plus, cross, skewX, skewY, skewVariance } = sum;
  const isoError = Math.max(Math.sqrt(1 / total), MOMENT_FLOOR * iso);
  return {
    u,
    v,
    r2,
    iso,
    plus,
    cross,
    isoError,
    shearError: isoError * Math.SQRT1_2,
    skewX,
    skewY,
    skewError: Math.max(Math.sqrt(skewVariance / cells.length), SKEW_FLOOR),
  };
}

function skewSquares(cells: readonly FitCell[]): number {
  let sum = 0;
  for (const cell of cells) {
    for (const value of [cell.skewX, cell.skewY]) {
      const size = Math.abs(value) / cell.skewError;
      if (Number.isFinite(size)) sum += size <= HUBER ? size * size : HUBER * (2 * size - HUBER);
    }
  }
  return sum;
}

function courseOf(frame: JudgedFrame, k: number, start: number, micron: number | null): FocusCourse {
  const { header } = frame;
  const time = Date.parse(header.dateObs ?? '');
  const step = header.focuserMicronPerStep;
  const known = header.focuserPosition !== null && step !== null && step > 0 && micron !== null;
  return {
    key: known ? `${header.filter ?? ''}` : `${header.filter ?? ''}|${header.focuserPosition ?? ''}`,
    sensorPx: known ? ((header.focuserPosition ?? 0) * step) / micron : 0,
    temperatureC: header.focuserTemperatureC ?? header.ambientTemperatureC,
    order: Number.isFinite(time) ? (time - start) / 3.6e6 : k,
  };
}

/** Which way round the camera hangs: from the header, else from the half turn that registration found. */
function pierSide(frame: JudgedFrame): string | null {
  if (frame.header.pierSide !== null) return frame.header.pierSide;
  return frame.registration === null ? null : frame.registration.flipped ? 'turned' : 'as reference';
}
