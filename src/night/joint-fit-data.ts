import { median } from 'simple-statistics';
import { fieldPosition } from '../field/index.js';
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
  /** Exposure relative to the longest of the night: a field rotation's trail grows with it. */
  readonly exposure: number;
  /** Half-flux diameter over FWHM, and its error; null when not measured or too trailed to mean anything. */
  readonly widthRatio: number | null;
  readonly widthRatioError: number;
}

/** Fewest cells that can carry a frame's part of the fit. */
const FEWEST_CELLS = 6;
/** Floor of a cell's error, part of its size: what no star average gets below (sampling, crowding, flat field). */
const MOMENT_FLOOR = 0.006;
const RATIO_FLOOR = 0.008;

/**
 * Turn frames of one camera set-up into the fit's data. Frames with fewer than six usable cells are left out.
 * Pixel-phase, neighbours and the like put a floor of 0.6 % under the moments' errors.
 */
export function fitData(frames: readonly JudgedFrame[], indices: readonly number[]): FitFrame[] {
  const longest = Math.max(...frames.map((f) => f.header.exposureSeconds ?? 0), 1e-9);
  const sides = frames.map(pierSide);
  const first = sides.find((side) => side !== null) ?? null;
  return frames.flatMap((frame, k) => {
    const cells = frame.field.cells.flatMap((cell) => {
      const at = fieldPosition(cell.x, cell.y, frame.image.widthPx, frame.image.heightPx);
      const iso = (cell.mxx + cell.myy) / 2;
      if (!(iso > 0) || !Number.isFinite(cell.mxy) || !(cell.mError > 0)) return [];
      const error = Math.hypot(cell.mError, MOMENT_FLOOR * iso);
      return [
        {
          ...at,
          iso,
          plus: (cell.mxx - cell.myy) / 2,
          cross: cell.mxy,
          isoError: error,
          // Photon noise of the half difference is 1/sqrt(2) of that of one component.
          shearError: error * Math.SQRT1_2,
        },
      ];
    });
    if (cells.length < FEWEST_CELLS) return [];
    const { fwhm, hfd } = frame;
    const usable = fwhm.px !== null && hfd.px !== null && (frame.elongation ?? 1) < 1.25;
    return [
      {
        index: indices[k],
        file: frame.file,
        cells,
        meanIso: median(cells.map((cell) => cell.iso)),
        side: sides[k] === null || sides[k] === first ? (1 as const) : (-1 as const),
        exposure: (frame.header.exposureSeconds ?? longest) / longest,
        widthRatio: usable ? hfd.px / fwhm.px : null,
        widthRatioError: usable
          ? Math.hypot(RATIO_FLOOR, (fwhm.standardError ?? 0) / fwhm.px, (hfd.standardError ?? 0) / hfd.px)
          : Infinity,
      },
    ];
  });
}

/** Which way round the camera hangs: from the header, else from the half turn that registration found. */
function pierSide(frame: JudgedFrame): string | null {
  if (frame.header.pierSide !== null) return frame.header.pierSide;
  return frame.registration === null ? null : frame.registration.flipped ? 'turned' : 'as reference';
}
