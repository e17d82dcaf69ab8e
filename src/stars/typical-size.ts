import { medianInPlace } from '../stats/index.js';
import type { Tensor } from './adaptive-moments.js';
import type { FirstLook } from './first-look.js';
import { StarFlag } from './types.js';

const CELLS = 3;
const SPOILT = StarFlag.Saturated | StarFlag.Edge | StarFlag.BadPixels | StarFlag.MomentsFailed;

/** Mean variance (mxx + myy)/2 of the typical star near a position: local medians on a 3 x 3 grid where eight or more stars allow, else the frame's. */
export interface TypicalSize {
  readonly frame: number;
  readonly at: (x: number, y: number) => number;
}

/** Wider than a star by so much (variance), ... */
const WIDE = 2.2;
/** ... on light raised above the sky map by so much (noise of a pixel), and by such a part of its own height: a knot of a galaxy or nebula. */
const RAISED = 2;
const RAISED_PART = 0.2;

/**
 * From the first look at the stars (0-based positions) of a frame; null when no star has moments. Knots of galaxies, told by their surroundings and by being wider than the
 * frame's star image `shape`, have no say; wide stars in a corner of the field have.
 */
export function typicalSize(
  looks: readonly FirstLook[],
  widthPx: number,
  heightPx: number,
  shape: Tensor,
): TypicalSize | null {
  const widest = (WIDE * (shape.xx + shape.yy)) / 2;
  const sound = looks.filter(
    ({ flags, moments, pedestal, noise, peak }) =>
      (flags & SPOILT) === 0 &&
      moments !== null &&
      !((moments.mxx + moments.myy) / 2 > widest && pedestal > Math.max(RAISED * noise, RAISED_PART * peak)),
  );
  if (sound.length === 0) return null;
  // The brighter half: faint false sources would pull the median down.
  const ranked = [...sound].sort((a, b) => (b.moments?.flux ?? 0) - (a.moments?.flux ?? 0));
  const bright = ranked.slice(0, Math.max(10, Math.ceil(ranked.length / 2)));
  const cells: number[][] = Array.from({ length: CELLS * CELLS }, () => []);
  const cellOf = (x: number, y: number): number => {
    const i = Math.max(0, Math.min(CELLS - 1, Math.floor((x / widthPx) * CELLS)));
    const j = Math.max(0, Math.min(CELLS - 1, Math.floor((y / heightPx) * CELLS)));
    return j * CELLS + i;
  };
  const all: number[] = [];
  for (const { moments } of bright) {
    if (moments === null) continue;
    const size = (moments.mxx + moments.myy) / 2;
    all.push(size);
    cells[cellOf(moments.x, moments.y)].push(size);
  }
  const frame = medianInPlace(all);
  const local = cells.map((sizes) => (sizes.length >= 8 ? medianInPlace(sizes) : frame));
  return { frame, at: (x, y) => local[cellOf(x, y)] };
}

/** Mark what is too sharp or too wide for a star of this frame, beyond its own error. */
export function flagOddSizes(looks: readonly FirstLook[], typical: TypicalSize): void {
  for (const look of looks) {
    const { moments } = look;
    if (moments === null) continue;
    const size = (moments.mxx + moments.myy) / 2;
    const expected = typical.at(moments.x, moments.y);
    if (isTooSharp({ xx: moments.mxx, xy: moments.mxy, yy: moments.myy }, moments.mError, expected))
      look.flags |= StarFlag.TooSharp;
    else if (size > WIDE * expected && size - 3 * moments.mError > expected) look.flags |= StarFlag.Extended;
  }
}

/** Whether moments (px^2, of error `error`) are those of something sharper, at least along one axis, than a star of mean variance `expected`. */
export function isTooSharp({ xx, xy, yy }: Tensor, error: number, expected: number): boolean {
  const size = (xx + yy) / 2;
  const minor = size - Math.sqrt(((xx - yy) / 2) ** 2 + xy ** 2);
  return (
    (size < 0.45 * expected && size + 3 * error < expected) ||
    (minor < 0.2 * expected && minor + 3 * error < expected)
  );
}
