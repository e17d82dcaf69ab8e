import { adaptiveShape } from './adaptive-shape.js';
import type { StarImage } from './star-image.js';

/** True figures of the noiseless, pixel-integrated star at one place of a frame. */
export interface StarFigures {
  readonly x: number;
  readonly y: number;
  /** Geometric mean of the axes of the half-maximum contour: 2 sqrt(area / pi), pixels. */
  readonly fwhmPx: number;
  /** Axis ratio of its Gaussian-weighted adaptive second moments, see `adaptiveShape`. */
  readonly elongation: number;
  /** Their long axis, degrees in [0, 180). */
  readonly angleDeg: number;
  /** Diameter about the centroid that holds half of the star's whole flux, pixels. */
  readonly hfdPx: number;
}

const ANGLES = 72;

/**
 * Measure the true star at FITS pixel position (x, y), on a grid several times finer than the pixels.
 * Where the image has a hole (a defocused ring) the outer half-maximum contour counts.
 */
export function trueStarFigures(star: StarImage, x: number, y: number): StarFigures {
  const fwhm = star.profile.fwhm;
  // About eight samples over the width of the image, pixel included.
  const fine = Math.max(3, Math.min(8, Math.ceil(8 / Math.hypot(fwhm, 1))));
  const reach = Math.ceil(star.spreadPx / 2 + 2.2 * fwhm + 3);
  const size = 2 * reach + 1;
  const side = size * fine;
  const grid = new Float64Array(side * side);
  const stamp = new Float32Array(size * size);
  // The stamp's pixel (1, 1) stands at frame position (x - reach, y - reach); optics and tracking are those of (x, y).
  for (let b = 0; b < fine; b++) {
    for (let a = 0; a < fine; a++) {
      stamp.fill(0);
      star.draw(stamp, size, size, reach + 1 - a / fine, reach + 1 - b / fine, 1, 2 * size, x, y);
      for (let j = 0; j < size; j++) {
        for (let i = 0; i < size; i++) grid[(j * fine + b) * side + i * fine + a] = stamp[j * size + i];
      }
    }
  }
  let sum = 0;
  let sumX = 0;
  let sumY = 0;
  let highest = 0;
  for (let j = 0, k = 0; j < side; j++) {
    for (let i = 0; i < side; i++, k++) {
      sum += grid[k];
      sumX += grid[k] * i;
      sumY += grid[k] * j;
      if (grid[k] > grid[highest]) highest = k;
    }
  }
  const cx = sumX / sum;
  const cy = sumY / sum;
  const radii = halfContour(grid, side, cx, cy, peakHeight(grid, side, highest) / 2);
  const fwhmFine = 2 * Math.sqrt(contourArea(radii) / Math.PI);
  return {
    x,
    y,
    fwhmPx: fwhmFine / fine,
    ...adaptiveShape(grid, side, cx, cy, fwhmFine),
    hfdPx: halfFluxDiameter(grid, side, cx, cy, fine),
  };
}

/** Top of the parabolas through the highest sample and its neighbours. */
function peakHeight(grid: Float64Array, side: number, at: number): number {
  const rise = (step: number): number => {
    const slope = grid[at + step] - grid[at - step];
    const bend = 2 * grid[at] - grid[at + step] - grid[at - step];
    return bend > 0 ? (slope * slope) / (8 * bend) : 0;
  };
  return grid[at] + rise(1) + rise(side);
}

/** Outermost points at the given level, one for each of ANGLES directions from (cx, cy), fine-grid units. */
function halfContour(grid: Float64Array, side: number, cx: number, cy: number, level: number): Float64Array {
  const radii = new Float64Array(ANGLES);
  const outer = Math.min(cx, cy, side - 1 - cx, side - 1 - cy) - 2;
  for (let n = 0; n < ANGLES; n++) {
    const c = Math.cos((2 * Math.PI * n) / ANGLES);
    const s = Math.sin((2 * Math.PI * n) / ANGLES);
    let beyond = 0;
    for (let r = outer; r >= 0; r -= 0.5) {
      const value = cubicAt(grid, side, cx + r * c, cy + r * s);
      if (value >= level) {
        radii[n] = r + (0.5 * (value - level)) / Math.max(value - beyond, Number.MIN_VALUE);
        break;
      }
      beyond = value;
    }
  }
  return radii;
}

/** Catmull-Rom interpolation in two dimensions; (x, y) at least one sample inside the grid's border. */
function cubicAt(grid: Float64Array, side: number, x: number, y: number): number {
  const i = Math.floor(x);
  const j = Math.floor(y);
  const tx = x - i;
  let k = (j - 1) * side + i;
  const rows = [0, 0, 0, 0];
  for (let row = 0; row < 4; row++, k += side) {
    rows[row] = catmullRom(grid[k - 1], grid[k], grid[k + 1], grid[k + 2], tx);
  }
  return catmullRom(rows[0], rows[1], rows[2], rows[3], y - j);
}

function catmullRom(before: number, here: number, next: number, after: number, t: number): number {
  const bend = 2 * before - 5 * here + 4 * next - after;
  return here + 0.5 * t * (next - before + t * (bend + t * (3 * (here - next) + after - before)));
}

/** Area of the polygon through the contour points. */
function contourArea(radii: Float64Array): number {
  const wedge = Math.sin((2 * Math.PI) / ANGLES) / 2;
  return radii.reduce((area, radius, n) => area + wedge * radius * radii[(n + 1) % ANGLES], 0);
}

/** Radius at which the curve of growth, ring by ring around (cx, cy), passes half of the star's unit flux. */
function halfFluxDiameter(grid: Float64Array, side: number, cx: number, cy: number, fine: number): number {
  const outer = Math.min(cx, cy, side - 1 - cx, side - 1 - cy) - 2;
  const ringWidth = 0.25;
  const half = (fine * fine) / 2;
  let enclosed = 0;
  for (let inner = 0; inner < outer; inner += ringWidth) {
    const radius = inner + ringWidth / 2;
    let sum = 0;
    for (let n = 0; n < ANGLES; n++) {
      const angle = (2 * Math.PI * (n + 0.5)) / ANGLES;
      sum += cubicAt(grid, side, cx + radius * Math.cos(angle), cy + radius * Math.sin(angle));
    }
    const ring = (sum / ANGLES) * 2 * Math.PI * radius * ringWidth;
    if (enclosed + ring >= half) return (2 * (inner + (ringWidth * (half - enclosed)) / ring)) / fine;
    enclosed += ring;
  }
  return Number.NaN;
}
