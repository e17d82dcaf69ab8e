import { buildPointGrid, pointsWithin } from './point-grid.js';

/**
 * How much light of its neighbours may fall into the measurement of each star: the sum of the neighbours' fluxes within `reachPx`, fading to
 * the rim, over the star's own flux. 0: alone. A star without flux (0 or NaN) counts as no neighbour, and is itself infinitely crowded.
 *
 * @param x,y positions, pixels
 * @param flux any unit, the same for all
 */
export function crowding(
  x: Float64Array,
  y: Float64Array,
  flux: Float64Array,
  reachPx: number,
): Float64Array {
  const grid = buildPointGrid(x, y, reachPx);
  return Float64Array.from(x, (_, i) => {
    if (!(flux[i]! > 0)) return Infinity;
    let light = 0;
    for (const j of pointsWithin(grid, x[i]!, y[i]!, reachPx)) {
      if (j === i || !(flux[j]! > 0)) continue;
      const square = (x[i]! - x[j]!) ** 2 + (y[i]! - y[j]!) ** 2;
      light += flux[j]! * (1 - square / (reachPx * reachPx));
    }
    return light / flux[i]!;
  });
}
