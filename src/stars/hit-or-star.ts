import type { SourceList } from '../image/types.js';
import type { Tensor } from './adaptive-moments.js';
import type { StarWindow } from './star-window.js';

/** Places of a star's centre that are tried, px about its highest pixel: half a spacing of the pixels to each side. */
const PHASES = [-0.5, -0.25, 0, 0.25, 0.5] as const;
const MOSAIC_PHASES = [-0.75, -0.5, -0.25, 0, 0.25, 0.5, 0.75] as const;
/** Pixels this near to the highest one are explained, in spacings of the pixels. */
const REACH = 2.3;
/** Pixels are neighbours up to a diagonal of them. */
const BESIDE = 1.5;
/** Most, and least, of what decides between equals (chi square): stars are more common than faint hits; of the hot pixels that the search has taken out, faint ones are the smaller part. */
const MOST_BENEFIT = 4;
const LEAST_BENEFIT = -1;

/** By how much (chi square) pixels have to explain light better than a star to be hits: twice the logarithm of the odds, sources against the hot pixels that the search has taken out. */
export function benefitOfStars({ count, hotPixels }: Pick<SourceList, 'count' | 'hotPixels'>): number {
  const odds = 2 * Math.log(count / hotPixels);
  return hotPixels > 0 ? Math.max(LEAST_BENEFIT, Math.min(MOST_BENEFIT, odds)) : MOST_BENEFIT;
}

/**
 * Whether one pixel, or two side by side, explain the light about 0-based (x, y) better than the frame's star image does: least squares of both against the same pixels, the star a
 * Gaussian of second moments `shape` (pixel^2, pixel included) anywhere in the highest pixel.
 *
 * `pedestal`: see `measureMoments`; `benefit`: see `benefitOfStars`. On a mosaic (`isMosaic`) neighbours stand across the corners. False where no pixel can be used.
 */
export function isSharperThanStar(
  { x0, y0, width, height, values, usable, noise }: StarWindow,
  x: number,
  y: number,
  shape: Tensor,
  pedestal: number,
  isMosaic: boolean,
  benefit: number,
): boolean {
  const spacing = isMosaic ? Math.SQRT2 : 1;
  const at = (i: number, j: number): number =>
    i < 0 || j < 0 || i >= width || j >= height || usable[j * width + i] === 0
      ? NaN
      : values[j * width + i] - pedestal;
  const highestNear = (column: number, row: number, reach: number, isOther: boolean) => {
    let best = { i: 0, j: 0, value: -Infinity };
    for (let j = Math.ceil(row - reach); j <= row + reach; j += 1) {
      for (let i = Math.ceil(column - reach); i <= column + reach; i += 1) {
        const value = at(i, j);
        if (!(value > best.value) || Math.hypot(i - column, j - row) > reach) continue;
        if (!isOther || i !== column || j !== row) best = { i, j, value };
      }
    }
    return best;
  };
  const top = highestNear(x - x0, y - y0, BESIDE * spacing, false);
  if (!(top.value > 0)) return false;
  const second = highestNear(top.i, top.j, BESIDE * spacing, true);
  const byPixels = top.value ** 2 + Math.max(0, second.value) ** 2;

  const reach = Math.floor(REACH * spacing);
  const determinant = shape.xx * shape.yy - shape.xy * shape.xy;
  let byStar = 0;
  const phases = isMosaic ? MOSAIC_PHASES : PHASES;
  for (const phaseY of phases) {
    for (const phaseX of phases) {
      let light = 0;
      let squares = 0;
      for (let j = -reach; j <= reach; j += 1) {
        for (let i = -reach; i <= reach; i += 1) {
          const value = at(top.i + i, top.j + j);
          if (Number.isNaN(value) || i * i + j * j > (REACH * spacing) ** 2) continue;
          const dx = i - phaseX;
          const dy = j - phaseY;
          const u = (shape.yy * dx * dx - 2 * shape.xy * dx * dy + shape.xx * dy * dy) / determinant;
          const weight = Math.exp(-u / 2);
          light += weight * value;
          squares += weight * weight;
        }
      }
      if (light > 0) byStar = Math.max(byStar, (light * light) / squares);
    }
  }
  return byPixels - byStar > benefit * noise * noise;
}
