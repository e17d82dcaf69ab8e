import { fluxWithin, measureFluxWithin, measureGrowth, radiusOfFlux } from './growth-curve.js';
import type { StarWindow } from './star-window.js';

export interface HalfFluxOptions {
  /** Radius of the aperture in which flux is summed, px. */
  readonly reachPx: number;
  /** Local sky above the window's, ADU, and its error. */
  readonly pedestal: number;
  readonly pedestalError: number;
  /** The frame's mean star: total flux over that within the aperture. */
  readonly totalOverReach: number;
  /** Star's own light per pixel in the sky ring, over its total flux: taken off the pedestal. */
  readonly skyLevelPerFlux: number;
  readonly photonFactor: number;
  readonly isMosaic: boolean;
  /** Only the total flux is wanted: the diameter, which costs most, stays NaN. */
  readonly isFluxOnly?: boolean;
}

export interface HalfFlux {
  /** Diameter of the circle that holds half of the total flux, px; NaN when the flux is not above zero. */
  readonly diameter: number;
  readonly error: number;
  readonly totalFlux: number;
  /** By which part of it the diameter grows as the total flux grows by a small part, over that part; NaN with the diameter. */
  readonly perTotal: number;
}

const NOTHING = { diameter: NaN, error: NaN, perTotal: NaN };

/**
 * Half-flux diameter of one star by its curve of growth about 0-based (x, y).
 *
 * Total flux is that within the aperture times the mean star's total over aperture flux, so that light beyond the aperture (the wings of seeing) counts
 * without its noise.
 */
export function measureHalfFlux(
  window: StarWindow,
  x: number,
  y: number,
  options: HalfFluxOptions,
): HalfFlux {
  const { reachPx } = options;
  const area = Math.PI * reachPx * reachPx;
  const growth = options.isFluxOnly
    ? null
    : measureGrowth(window, x, y, reachPx, options.pedestal, options.isMosaic);
  const within =
    growth === null
      ? measureFluxWithin(window, x, y, reachPx, options.pedestal, options.isMosaic)
      : fluxWithin(growth, reachPx);
  if (!(within > 0)) return { totalFlux: NaN, ...NOTHING };
  // The star's own wings lifted the sky ring: total = T (within + level total area).
  const lift = options.skyLevelPerFlux * area;
  const totalFlux = (options.totalOverReach * within) / Math.max(0.5, 1 - options.totalOverReach * lift);
  if (growth === null) return { totalFlux, ...NOTHING };
  const level = options.skyLevelPerFlux * totalFlux;
  for (let k = 0; k < growth.inside.length; k += 1) {
    growth.inside[k] += level * Math.PI * ((k + 1) * growth.stepPx) ** 2;
  }
  const radius = radiusOfFlux(growth, totalFlux / 2);
  if (!(radius > 0)) return { totalFlux, ...NOTHING };
  const slope = (fluxWithin(growth, radius * 1.1) - fluxWithin(growth, radius * 0.9)) / (0.2 * radius);
  // Flux inside the half-flux circle less half of the total: pixels inside count +1/2, outside -1/2; a wrong pedestal acts on area.
  const noise = window.noise * window.noise * area + options.photonFactor * totalFlux;
  const pedestalPart = options.pedestalError * (Math.PI * radius * radius - area / 2);
  const error = Math.sqrt(noise / 4 + pedestalPart ** 2) / slope;
  return { diameter: 2 * radius, error: 2 * error, totalFlux, perTotal: totalFlux / (2 * slope * radius) };
}
