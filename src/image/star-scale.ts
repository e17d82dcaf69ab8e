import type { PixelPlane } from '../fits/types.js';
import { brightestFirst, medianInPlace } from '../stats/index.js';
import { interpolateTiles } from './background-at.js';
import { findPeaks } from './find-peaks.js';
import { greenParity } from './green-sites.js';
import { collectPeaks } from './peak-collector.js';
import type { BackgroundMap } from './types.js';

const LARGEST_RADIUS = 64;
const BRIGHTEST = 60;

/**
 * Half-flux diameter of the frame's star image, pixels, from the brighter sources of some strips of the frame: from a sharp point to a defocused
 * ring of 60 px. Null when no compact source is found.
 */
export function estimateStarScale(plane: PixelPlane, background: BackgroundMap): number | null {
  for (const firstGuess of [5.7, 22]) {
    const found = collectPeaks();
    findPeaks(plane, background, { scalePx: firstGuess, threshold: 8 }, strips(plane), found);
    const sizes: number[] = [];
    for (const k of brightestFirst(found.flux.subarray(0, found.count))) {
      const size = roughHalfFluxDiameter(plane, background, found.x[k], found.y[k]);
      if (size !== null) sizes.push(size);
      if (sizes.length >= BRIGHTEST) break;
    }
    // Neighbours inside the aperture only make sources larger: lean to the small side.
    if (sizes.length >= 5)
      return medianInPlace(sizes.sort((a, b) => a - b).slice(0, Math.ceil(0.8 * sizes.length)));
    if (sizes.length > 0 && firstGuess > 10) return medianInPlace(sizes);
  }
  return null;
}

/** Three strips of about a million pixels together on large frames, everything on small ones. */
function strips(plane: PixelPlane): readonly (readonly [number, number])[] {
  const { width, height } = plane;
  const rows = Math.max(192, Math.round(1.2e6 / width));
  if (height <= 4 * rows) return [[0, height]];
  return [1, 3, 5].map((sixth) => {
    const first = Math.round((height * sixth) / 6 - rows / 2);
    return [first, first + rows] as const;
  });
}

/**
 * Half-flux diameter within an aperture that grows with the source until it holds all of it; null for what has no end
 * (nebula), leaves the frame, or is a single pixel.
 */
function roughHalfFluxDiameter(
  plane: PixelPlane,
  background: BackgroundMap,
  startX: number,
  startY: number,
): number | null {
  const level = (interpolateTiles(background, background.level, startX, startY) - plane.zero) / plane.scale;
  const noise = interpolateTiles(background, background.noise, startX, startY) / Math.abs(plane.scale);
  const parity = greenParity(plane.mosaic);
  let x = startX;
  let y = startY;
  let radius = 5;
  let previous = 0;
  for (let round = 0; round < 12; round += 1) {
    const aperture = apertureSums(plane, x, y, radius, level, parity);
    if (aperture === null || !(aperture.flux > 8 * noise * radius)) return null;
    if (aperture.peak > 0.8 * aperture.flux) return null;
    x += Math.max(-2, Math.min(2, aperture.dx));
    y += Math.max(-2, Math.min(2, aperture.dy));
    const size = aperture.halfFluxDiameter;
    if (Math.abs(size - previous) < 0.02 * size) return size;
    previous = size;
    radius = Math.max(3, 1.6 * size);
    if (radius > LARGEST_RADIUS) return null;
  }
  return null;
}

function apertureSums(
  plane: PixelPlane,
  x: number,
  y: number,
  radius: number,
  level: number,
  parity: 0 | 1 | null,
): { flux: number; peak: number; dx: number; dy: number; halfFluxDiameter: number } | null {
  const { data, width, height } = plane;
  const x0 = Math.floor(x - radius);
  const y0 = Math.floor(y - radius);
  const x1 = Math.ceil(x + radius);
  const y1 = Math.ceil(y + radius);
  if (x0 < 0 || y0 < 0 || x1 >= width || y1 >= height) return null;
  const bins = new Float64Array(Math.ceil(2 * radius) + 2);
  let flux = 0;
  let peak = 0;
  let dx = 0;
  let dy = 0;
  for (let py = y0; py <= y1; py += 1) {
    for (let px = x0; px <= x1; px += 1) {
      if (parity !== null && ((px + py) & 1) !== parity) continue;
      const r = Math.sqrt((px - x) * (px - x) + (py - y) * (py - y));
      const v = data[py * width + px] - level;
      if (r > radius || v !== v) continue;
      flux += v;
      dx += v * (px - x);
      dy += v * (py - y);
      if (v > peak) peak = v;
      bins[Math.floor(2 * r)] += v;
    }
  }
  if (!(flux > 0)) return null;
  let inside = 0;
  let half = radius;
  for (let bin = 0; bin < bins.length; bin += 1) {
    if (inside + bins[bin] >= flux / 2) {
      half = (bin + (flux / 2 - inside) / bins[bin]) / 2;
      break;
    }
    inside += bins[bin];
  }
  return { flux, peak, dx: dx / flux, dy: dy / flux, halfFluxDiameter: 2 * half };
}
