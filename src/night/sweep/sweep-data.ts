import { median } from 'simple-statistics';
import { UsageError } from '../../errors.js';
import { fieldPosition } from '../../field/index.js';
import type { FrameAssessment } from '../../field/types.js';
import { likelyPattern, positionInName } from './position-pattern.js';
import type { SweepCell, SweepData, SweepFrame, SweepOptions } from './types.js';

/** Fewest stars (or cells with stars) that a frame needs to take part. */
const FEWEST_CELLS = 3;
/** Floor of a cell's error as a part of its size: pixel phase, neighbours and the response's own accuracy; the same for a single star. */
const FLOOR = 0.01;
const STAR_FLOOR = 0.03;
/** Errors double for stars whose moment is this many times the sharpest frame's: wide discs are measured against a sky known less well. */
const WIDE = 20;
/** Scatter of single stars over their formal errors (neighbours, sky). */
const STAR_SCATTER = 1.3;
/** Positions that a fit with seeing free per frame needs. */
export const FEWEST_POSITIONS = 4;

/**
 * Gather the frames of a sweep: positions, step size, field cells; and refuse what is no sweep, with words that help.
 *
 * Positions come from the file names when a pattern is given, else from the headers. Frames of another filter, camera or
 * image size, without a position, or with too few stars are left out and named.
 *
 * @throws UsageError when there are no positions, too few different ones, or several filters
 */
export function sweepData(frames: readonly FrameAssessment[], options: SweepOptions): SweepData {
  const leftOut: { file: string; why: string }[] = [];
  const warnings: string[] = [];
  const first = frames[0];
  if (first === undefined)
    throw new UsageError('sweep: no readable frame', 'Name the folder with the frames of the sweep.');
  refuseMixedFilters(frames);

  const placed: { frame: FrameAssessment; step: number }[] = [];
  for (const frame of frames) {
    const step = positionOf(frame, options.positionPattern);
    if (step === null) leftOut.push({ file: frame.file, why: 'no focuser position' });
    else if (frame.image.widthPx !== first.image.widthPx || frame.image.heightPx !== first.image.heightPx) {
      leftOut.push({ file: frame.file, why: 'another image size' });
    } else placed.push({ frame, step });
  }
  if (placed.length === 0)
    throw noPosition(
      options.positionPattern,
      frames.map((frame) => frame.file),
    );
  refuseTooFew(placed.map(({ step }) => step));

  const outwardSign = options.inward === 'positive' ? -1 : 1;
  const steps = placed.map(({ step }) => step);
  const middleStep = (Math.min(...steps) + Math.max(...steps)) / 2;
  const headerStep = common(placed.map(({ frame }) => frame.header.focuserMicronPerStep));
  const micronPerStep = options.micronPerStep ?? headerStep;
  if (micronPerStep !== null && !(micronPerStep > 0)) {
    throw new UsageError(
      `sweep: a step of ${micronPerStep} micrometres makes no sense`,
      'Give the travel per step as a positive number with --micron-per-step; the direction is --inward.',
    );
  }
  const sweep: SweepFrame[] = [];
  for (const { frame, step } of placed) {
    const cells = cellsOf(frame);
    if (cells.length < FEWEST_CELLS) {
      leftOut.push({ file: frame.file, why: fewStars(cells.length) });
      continue;
    }
    sweep.push({
      file: frame.file,
      positionStep: step,
      outward: outwardSign * (step - middleStep) * (micronPerStep ?? 1),
      cells,
      stars: cells.reduce((sum, cell) => sum + cell.stars, 0),
    });
  }
  refuseTooFew(
    sweep.map((frame) => frame.positionStep),
    leftOut,
  );
  const pitch =
    options.pixelPitchMicron ??
    common(
      placed.map(({ frame }) => frame.scale?.pixelPitchMicron ?? frame.header.pixelSizeMicron?.[0] ?? null),
    );
  return {
    frames: doubtWideStars(sweep).sort((a, b) => a.outward - b.outward),
    leftOut,
    middleStep,
    micronPerStep,
    micronPerStepSource: options.micronPerStep !== null ? 'option' : headerStep !== null ? 'header' : null,
    outwardSign,
    signGiven: options.inward !== null,
    focalRatio:
      options.focalRatio ??
      common(placed.map(({ frame }) => frame.scale?.focalRatio ?? frame.header.focalRatio)),
    pixelPitchMicron: pitch,
    widthPx: first.image.widthPx,
    heightPx: first.image.heightPx,
    arcsecPerPx: common(
      placed.map(({ frame }) => frame.scale?.arcsecPerPx ?? null),
      0.02,
    ),
    filter: first.header.filter,
    warnings,
  };
}

function fewStars(count: number): string {
  return `${count === 0 ? 'no usable star' : count === 1 ? 'one usable star' : `${count} usable stars`} (rings too wide, or stars too faint)`;
}

function doubtWideStars(frames: readonly SweepFrame[]): SweepFrame[] {
  const sharpest = Math.min(...frames.map((frame) => median(frame.cells.map((cell) => cell.iso))));
  return frames.map((frame) => ({
    ...frame,
    cells: frame.cells.map((cell) => {
      const doubt = 1 + cell.iso / (WIDE * sharpest);
      return { ...cell, isoError: doubt * cell.isoError, shearError: doubt * cell.shearError };
    }),
  }));
}

/** Position of a frame: the number at `{step}` of its name, or its header's. */
function positionOf(frame: FrameAssessment, pattern: string | null): number | null {
  return pattern === null ? frame.header.focuserPosition : positionInName(frame.file, pattern);
}

function cellsOf(frame: FrameAssessment): SweepCell[] {
  const { widthPx, heightPx } = frame.image;
  if (frame.starShapes !== undefined) {
    return frame.starShapes.flatMap((star) => {
      const error = Math.hypot(STAR_SCATTER * star.mError, STAR_FLOOR * ((star.mxx + star.myy) / 2));
      return cellOf(star, star.fwhm, error, 1, widthPx, heightPx);
    });
  }
  return frame.field.cells.flatMap((cell) =>
    cell.mError > 0
      ? cellOf(
          cell,
          cell.fwhmPx,
          Math.hypot(cell.mError, FLOOR * ((cell.mxx + cell.myy) / 2)),
          cell.stars,
          widthPx,
          heightPx,
        )
      : [],
  );
}

function cellOf(
  star: {
    readonly x: number;
    readonly y: number;
    readonly mxx: number;
    readonly mxy: number;
    readonly myy: number;
  },
  fwhmPx: number,
  error: number,
  stars: number,
  widthPx: number,
  heightPx: number,
): SweepCell[] {
  const { u, v, r2 } = fieldPosition(star.x, star.y, widthPx, heightPx);
  const iso = (star.mxx + star.myy) / 2;
  if (!(iso > 0) || !Number.isFinite(star.mxy)) return [];
  return [
    {
      u,
      v,
      r2,
      iso,
      plus: (star.mxx - star.myy) / 2,
      cross: star.mxy,
      isoError: error,
      // Photon noise of a half difference is 1/sqrt(2) of that of one component.
      shearError: error * Math.SQRT1_2,
      stars,
      momentOverFwhm2: Math.sqrt(star.mxx * star.myy - star.mxy ** 2) / fwhmPx ** 2,
    },
  ];
}

/** The value that the frames share (within a part of it), null when none has one or they differ. */
function common(values: readonly (number | null)[], within = 0.005): number | null {
  const known = values.filter((value): value is number => value !== null && Number.isFinite(value));
  if (known.length === 0) return null;
  const middle = [...known].sort((a, b) => a - b)[known.length >> 1]!;
  return known.every((value) => Math.abs(value - middle) <= within * Math.abs(middle)) ? middle : null;
}

function refuseMixedFilters(frames: readonly FrameAssessment[]): void {
  const filters = [...new Set(frames.map((frame) => frame.header.filter ?? 'none given'))];
  if (filters.length < 2) return;
  throw new UsageError(
    `sweep: frames through ${filters.length} filters (${filters.join(', ')}): each filter has its own focus`,
    'Name the frames of one filter, or keep each filter in a folder of its own.',
  );
}

function refuseTooFew(
  steps: readonly number[],
  leftOut: readonly { file: string; why: string }[] = [],
): void {
  const different = new Set(steps).size;
  if (different >= FEWEST_POSITIONS) return;
  const lost =
    leftOut.length > 0
      ? ` (${leftOut.length} left out: ${[...new Set(leftOut.map((l) => l.why))].join(', ')})`
      : '';
  throw new UsageError(
    `sweep: ${different} different focuser position${different === 1 ? '' : 's'} with stars${lost}: a surface of best focus needs at least ${FEWEST_POSITIONS}, better 7 to 11`,
    'Expose at evenly spaced positions from clearly inside to clearly outside of focus, where stars are about two to three times as wide as at best.',
  );
}

function noPosition(pattern: string | null, files: readonly string[]): UsageError {
  const likely = likelyPattern(files);
  return pattern === null
    ? new UsageError(
        'sweep: no frame says where the focuser stood (FOCUSPOS, FOCPOS or the like in the header)',
        likely === null
          ? 'Name the header keyword with --position-keyword, or give the positions with --positions 11800,11900,... in the order of the file names.'
          : `If the number in the file names is the position: --position-pattern "${likely}". Else name the header keyword with --position-keyword, or list the positions with --positions.`,
      )
    : new UsageError(
        `sweep: no file name matches --position-pattern ${pattern}`,
        `Write the text before and after the number as it stands in the names, {step} for the number${likely === null ? '' : `; here perhaps "${likely}"`}.`,
      );
}
