import { besselJ1 } from '../../stats/index.js';

/**
 * Adaptive moments of a star seen through air and a defocused, astigmatic pupil, over those of the air alone.
 *
 * Second moments measured under a Gaussian weight do not simply add, least of all for a ring: so the answer is computed.
 * The star is a transfer function exp(-(f/f0)^a), a = 5/3 for Kolmogorov air (Fried 1966) and 2 for a Gaussian, times that of an elliptical
 * annulus of light (geometric defocus, astigmatism); its adaptive moments are the fixed point of the matched Gaussian (Bernstein & Jarvis 2002),
 * written in the Fourier domain, where they need no truncated image.
 */
export interface StarResponse {
  /**
   * Moment along an axis over that of the air alone.
   *
   * @param along diameter of the light's ellipse along that axis, in widths of the undisturbed star, sqrt(5 V) (any sign): V its moment,
   *   so that the width is the FWHM for Kolmogorov air
   * @param across diameter across it
   */
  readonly moment: (along: number, across: number) => number;
}

/** Step of the response's derivatives, widths. */
const DERIVATIVE_STEP = 1e-4;

/** The response and its derivatives by the two diameters. */
export function momentWithSlopes(
  response: StarResponse,
  along: number,
  across: number,
): readonly [value: number, byAlong: number, byAcross: number] {
  const value = response.moment(along, across);
  return [
    value,
    (response.moment(along + DERIVATIVE_STEP, across) - value) / DERIVATIVE_STEP,
    (response.moment(along, across + DERIVATIVE_STEP) - value) / DERIVATIVE_STEP,
  ];
}

/** Adaptive moment of a Kolmogorov star over the square of its FWHM: 0.2000. */
export const MOMENT_OVER_FWHM2 = 0.2;

/** Exponent of the transfer function of Kolmogorov air. */
export const KOLMOGOROV_EXPONENT = 5 / 3;
/** Largest diameter of the table, widths; beyond it the moment grows as the square of the diameter. */
const LAST = 14;
/** Table step in asinh of the diameter. */
const STEP = 0.14;
const ENTRIES = Math.ceil(Math.asinh(LAST) / STEP) + 3;
/** Points per axis of the quadrature, and its reach in widths of the weight's transform. */
const POINTS = 22;
const REACH = 4.2;

const responses = new Map<string, StarResponse>();

/** What the light went through: central obstruction of the pupil and the scale and exponent of the air's transfer function. */
interface LightPath {
  readonly obstruction: number;
  /** Frequency at which the air's transfer function falls to 1/e, cycles per width. */
  readonly cutoff: number;
  readonly exponent: number;
}

/**
 * The response for a pupil of the given central obstruction (inner over outer diameter, 0 to below 0.9) and air of the given
 * exponent (5/3: Kolmogorov; towards 2 with jitter and coarse pixels; smaller with wide wings); computed once (about 0.1 s) and kept.
 *
 * @throws RangeError for an obstruction outside [0, 0.9] or an exponent outside [1.2, 2]
 */
export function starResponse(obstruction: number, exponent = KOLMOGOROV_EXPONENT): StarResponse {
  if (!(obstruction >= 0 && obstruction <= 0.9)) {
    throw new RangeError(`central obstruction must lie between 0 and 0.9, not ${obstruction}`);
  }
  if (!(exponent >= 1.2 && exponent <= 2)) {
    throw new RangeError(
      `the exponent of the air's transfer function must lie between 1.2 and 2, not ${exponent}`,
    );
  }
  const key = `${obstruction} ${exponent}`;
  const known = responses.get(key);
  if (known) return known;
  const made = makeResponse(obstruction, exponent);
  responses.set(key, made);
  return made;
}

function makeResponse(obstruction: number, exponent: number): StarResponse {
  const table = new Float64Array(ENTRIES * ENTRIES);
  // Scaled so that the undisturbed star is one width wide: a moment of 0.2.
  const unscaled = adaptiveMoments(0, 0, { obstruction, cutoff: 0.5, exponent })[0];
  const cutoff = 0.5 * Math.sqrt(unscaled / MOMENT_OVER_FWHM2);
  const path: LightPath = { obstruction, cutoff, exponent };
  const air = adaptiveMoments(0, 0, path)[0];
  for (let i = 0; i < ENTRIES; i += 1) {
    for (let j = 0; j <= i; j += 1) {
      const [along, across] = adaptiveMoments(Math.sinh(i * STEP), Math.sinh(j * STEP), path);
      // The logarithm is nearly straight far out, so that cubic interpolation stays within 1e-3.
      table[i * ENTRIES + j] = Math.log(along / air);
      table[j * ENTRIES + i] = Math.log(across / air);
    }
  }
  return {
    moment: (along, across) => {
      let [a, b] = [Math.abs(along), Math.abs(across)];
      const over = Math.max(a, b) / LAST;
      if (over > 1) [a, b] = [a / over, b / over];
      const value = Math.exp(interpolate(table, Math.asinh(a) / STEP, Math.asinh(b) / STEP));
      return over > 1 ? value * over * over : value;
    },
  };
}

/** Moments (along x, along y) in widths^2 of the air convolved with an annular ellipse of diameters dx, dy (widths). */
function adaptiveMoments(dx: number, dy: number, path: LightPath): [number, number] {
  let xx = MOMENT_OVER_FWHM2 + (dx * dx) / 10;
  let yy = MOMENT_OVER_FWHM2 + (dy * dy) / 10;
  const h = REACH / POINTS;
  for (let iteration = 0; iteration < 200; iteration += 1) {
    // Frequencies in widths of the weight's transform: k = t / (2 pi sigma).
    const fx = 1 / (2 * Math.PI * Math.sqrt(xx));
    const fy = 1 / (2 * Math.PI * Math.sqrt(yy));
    let [sum, sumX, sumY] = [0, 0, 0];
    for (let i = 0; i <= POINTS; i += 1) {
      for (let j = 0; j <= POINTS; j += 1) {
        const [tx, ty] = [i * h, j * h];
        const edge = (i === 0 ? 0.5 : 1) * (j === 0 ? 0.5 : 1);
        const value = edge * Math.exp(-0.5 * (tx * tx + ty * ty)) * transfer(tx * fx, ty * fy, dx, dy, path);
        sum += value;
        sumX += value * tx * tx;
        sumY += value * ty * ty;
      }
    }
    // Weighted variance of the image is sigma^2 (1 - <t^2>); the match asks for half of sigma^2.
    const nextX = 2 * xx * (1 - sumX / sum);
    const nextY = 2 * yy * (1 - sumY / sum);
    const change = Math.max(Math.abs(nextX / xx - 1), Math.abs(nextY / yy - 1));
    xx = Math.max(0.3 * xx, xx + 1.5 * (nextX - xx));
    yy = Math.max(0.3 * yy, yy + 1.5 * (nextY - yy));
    if (change < 1e-7) break;
  }
  return [xx, yy];
}

/** Transfer function at a frequency (cycles per width). */
function transfer(
  kx: number,
  ky: number,
  dx: number,
  dy: number,
  { obstruction, cutoff, exponent }: LightPath,
): number {
  const air = Math.exp(-((Math.hypot(kx, ky) / cutoff) ** exponent));
  const ring = Math.PI * Math.hypot(kx * dx, ky * dy);
  const hole = obstruction * obstruction;
  return (air * (disc(ring) - hole * disc(obstruction * ring))) / (1 - hole);
}

/** 2 J1(x) / x. */
function disc(x: number): number {
  return x < 1e-4 ? 1 - (x * x) / 8 : (2 * besselJ1(x)) / x;
}

/** Bicubic (Catmull-Rom) look-up in a table that is even about its first row and column. */
function interpolate(table: Float64Array, i: number, j: number): number {
  const [i0, j0] = [Math.min(ENTRIES - 3, Math.floor(i)), Math.min(ENTRIES - 3, Math.floor(j))];
  const rows = [0, 0, 0, 0];
  for (let a = -1; a <= 2; a += 1) {
    const row = Math.abs(i0 + a) * ENTRIES;
    rows[a + 1] = cubic(
      table[row + Math.abs(j0 - 1)]!,
      table[row + j0]!,
      table[row + j0 + 1]!,
      table[row + j0 + 2]!,
      j - j0,
    );
  }
  return cubic(rows[0]!, rows[1]!, rows[2]!, rows[3]!, i - i0);
}

function cubic(before: number, here: number, next: number, after: number, t: number): number {
  return (
    here +
    0.5 *
      t *
      (next -
        before +
        t * (2 * before - 5 * here + 4 * next - after + t * (3 * (here - next) + after - before)))
  );
}
