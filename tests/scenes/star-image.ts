import type { Profile } from './profiles.js';

/** A star image as it falls on the sensor, pixel included, on a fine grid; and the figures that follow from it. */
export interface StarImage {
  /** Fine cells per pixel. */
  readonly oversampling: number;
  readonly radiusPx: number;
  readonly size: number;
  /** Flux per pixel of a star of flux 1 whose centre lies at this offset from the pixel's centre. */
  readonly values: Float64Array;
  readonly truth: StarTruth;
}

export interface StarTruth {
  /** Geometric mean of the half-maximum contour's longest and shortest diameter (px). */
  readonly fwhm: number;
  readonly fwhmMajor: number;
  readonly fwhmMinor: number;
  readonly elongation: number;
  readonly angleDeg: number;
  /** Diameter of the circle about the centroid with half of the total flux. */
  readonly hfd: number;
}

/** Tabulate `profile` convolved with the pixel; `total` is its flux to infinity (1). */
export function makeStarImage(profile: Profile, radiusPx: number, oversampling: number): StarImage {
  const os = oversampling % 2 === 0 ? oversampling : oversampling + 1;
  const half = Math.ceil(radiusPx * os);
  const margin = os / 2;
  const fine = 2 * (half + margin) + 1;
  const light = new Float64Array(fine * fine);
  for (let j = 0; j < fine; j += 1) {
    for (let i = 0; i < fine; i += 1) {
      light[j * fine + i] = profile((i - half - margin) / os, (j - half - margin) / os);
    }
  }
  const size = 2 * half + 1;
  // Box of one pixel by the trapezoidal rule along x, then y.
  const across = new Float64Array(fine * size);
  for (let j = 0; j < fine; j += 1) {
    for (let i = 0; i < size; i += 1) {
      let sum = 0;
      for (let k = 0; k <= os; k += 1) sum += light[j * fine + i + k] * (k === 0 || k === os ? 0.5 : 1);
      across[j * size + i] = sum / os;
    }
  }
  const values = new Float64Array(size * size);
  for (let j = 0; j < size; j += 1) {
    for (let i = 0; i < size; i += 1) {
      let sum = 0;
      for (let k = 0; k <= os; k += 1) sum += across[(j + k) * size + i] * (k === 0 || k === os ? 0.5 : 1);
      values[j * size + i] = sum / os;
    }
  }
  return { oversampling: os, radiusPx, size, values, truth: measureTruth(values, size, os) };
}

/** Bilinear reading at (dx, dy) pixels from the centre; 0 outside. */
export function readStarImage(image: StarImage, dx: number, dy: number): number {
  const half = (image.size - 1) / 2;
  const u = dx * image.oversampling + half;
  const v = dy * image.oversampling + half;
  const i = Math.floor(u);
  const j = Math.floor(v);
  if (i < 0 || j < 0 || i >= image.size - 1 || j >= image.size - 1) return 0;
  const s = u - i;
  const t = v - j;
  const k = j * image.size + i;
  const { values } = image;
  const low = values[k] + s * (values[k + 1] - values[k]);
  const high = values[k + image.size] + s * (values[k + image.size + 1] - values[k + image.size]);
  return low + t * (high - low);
}

function measureTruth(values: Float64Array, size: number, os: number): StarTruth {
  const half = (size - 1) / 2;
  let sum = 0;
  let sx = 0;
  let sy = 0;
  let peak = 0;
  for (let k = 0; k < values.length; k += 1) {
    const x = (k % size) - half;
    const y = Math.floor(k / size) - half;
    sum += values[k];
    sx += values[k] * x;
    sy += values[k] * y;
    peak = Math.max(peak, values[k]);
  }
  const cx = sx / sum;
  const cy = sy / sum;
  // Half-maximum contour: outermost crossing along rays from the centroid, then diameters through it.
  const crossing = (angle: number): number => {
    const c = Math.cos(angle);
    const s = Math.sin(angle);
    let last = 0;
    let previous = Infinity;
    for (let r = 0; r < half; r += 0.25) {
      const v = bilinear(values, size, cx + half + r * c, cy + half + r * s);
      if (previous >= peak / 2 && v < peak / 2)
        last = r - 0.25 * (1 - (previous - peak / 2) / (previous - v));
      previous = v;
    }
    return last;
  };
  let major = 0;
  let minor = Infinity;
  // The longest diameter is too flat a maximum to give the axis: the sum over all of them as axes of weight diameter^4 (their area's second moment) does.
  let axisX = 0;
  let axisY = 0;
  for (let deg = 0; deg < 180; deg += 1) {
    const a = (deg * Math.PI) / 180;
    const diameter = crossing(a) + crossing(a + Math.PI);
    major = Math.max(major, diameter);
    minor = Math.min(minor, diameter);
    axisX += diameter ** 4 * Math.cos(2 * a);
    axisY += diameter ** 4 * Math.sin(2 * a);
  }
  const angleDeg = ((Math.atan2(axisY, axisX) * 90) / Math.PI + 180) % 180;
  // Growth of flux about the centroid, each fine cell cut into 5 x 5 pieces with the light interpolated between cells.
  const total = os * os;
  const bins = new Float64Array(Math.ceil(half * 1.5) * 4);
  for (let k = 0; k < values.length; k += 1) {
    const x = (k % size) - half - cx;
    const y = Math.floor(k / size) - half - cy;
    if (Math.max(Math.abs(x), Math.abs(y)) > half - 2) continue;
    for (let piece = 0; piece < 25; piece += 1) {
      const px = x + ((piece % 5) - 2) / 5;
      const py = y + (Math.floor(piece / 5) - 2) / 5;
      const bin = Math.floor(Math.hypot(px, py) * 4);
      if (bin < bins.length) bins[bin] += bilinear(values, size, px + half + cx, py + half + cy) / 25;
    }
  }
  let inside = 0;
  let hfd = NaN;
  for (let bin = 0; bin < bins.length; bin += 1) {
    if (inside + bins[bin] >= total / 2) {
      hfd = (2 * (bin + (total / 2 - inside) / bins[bin])) / 4 / os;
      break;
    }
    inside += bins[bin];
  }
  return {
    fwhm: Math.sqrt(major * minor) / os,
    fwhmMajor: major / os,
    fwhmMinor: minor / os,
    elongation: major / minor,
    angleDeg,
    hfd,
  };
}

function bilinear(values: Float64Array, size: number, u: number, v: number): number {
  const i = Math.floor(u);
  const j = Math.floor(v);
  if (i < 0 || j < 0 || i >= size - 1 || j >= size - 1) return 0;
  const s = u - i;
  const t = v - j;
  const k = j * size + i;
  return (
    (values[k] * (1 - s) + values[k + 1] * s) * (1 - t) +
    (values[k + size] * (1 - s) + values[k + size + 1] * s) * t
  );
}
