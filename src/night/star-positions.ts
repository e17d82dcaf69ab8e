import type { RegistrationStars } from '../field/types.js';
import { brightestFirst, gather } from '../stats/index.js';
import { buildPointGrid, type PointGrid } from './point-grid.js';

/** Stars of a frame made ready for matching: brightest first, FITS pixels, flux in ADU. */
export interface StarPositions {
  readonly count: number;
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly flux: Float64Array;
  /** Exposure, seconds; 1 when unknown. */
  readonly seconds: number;
  readonly widthPx: number;
  readonly heightPx: number;
  /** How far a star may lie from where a trial transform puts it, pixels. */
  readonly tolerancePx: number;
  /** Chance that a random position has a star within the tolerance. */
  readonly chance: number;
  readonly grid: PointGrid;
}

type Columns = [x: Float64Array, y: Float64Array, flux: Float64Array];

/** Largest share of the image that the tolerance circles of all stars may cover: above, chance matches would drown real ones. */
const maxChance = 0.05;

/**
 * Unpacks the registration stars of a frame (x, y, flux interleaved); entries that are not finite, or without flux, are left out.
 *
 * The tolerance is 0.1 % of the diagonal, which is what a lens's distortion may shift a dithered or turned field, within 3 to 8 px,
 * less in a crowded frame.
 */
export function starPositions(
  stars: RegistrationStars,
  widthPx: number,
  heightPx: number,
  exposureSeconds: number | null = null,
): StarPositions {
  const listed = { x: [] as number[], y: [] as number[], flux: [] as number[] };
  for (let i = 0; i + 2 < stars.length; i += 3) {
    if (!Number.isFinite(stars[i]! + stars[i + 1]! + stars[i + 2]!) || !(stars[i + 2]! > 0)) continue;
    listed.x.push(stars[i]!);
    listed.y.push(stars[i + 1]!);
    listed.flux.push(stars[i + 2]!);
  }
  const order = brightestFirst(listed.flux);
  const [x, y, flux] = [listed.x, listed.y, listed.flux].map((column) => gather(column, order)) as Columns;
  const density = order.length / (widthPx * heightPx);
  const wished = Math.min(8, Math.max(3, 0.001 * Math.hypot(widthPx, heightPx)));
  const tolerancePx = density > 0 ? Math.min(wished, Math.sqrt(maxChance / (Math.PI * density))) : wished;
  return {
    count: order.length,
    x,
    y,
    flux,
    seconds: exposureSeconds !== null && exposureSeconds > 0 ? exposureSeconds : 1,
    widthPx,
    heightPx,
    tolerancePx,
    chance: density * Math.PI * tolerancePx * tolerancePx,
    grid: buildPointGrid(x, y, tolerancePx),
  };
}
