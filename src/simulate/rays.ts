/**
 * Rays that make up one star's image: where each passes the pupil, when, and where the tracking had the star at that moment.
 * All arrays have length `count`; every ray carries an equal share of the light.
 */
export interface RaySet {
  readonly count: number;
  /** Pupil position, unit disc (outer radius 1). */
  readonly u: Float64Array;
  readonly v: Float64Array;
  /** Moment of the exposure, 0 to 1. */
  readonly time: Float64Array;
  /** Tracking offset at that moment, pixels. */
  readonly trackX: Float64Array;
  readonly trackY: Float64Array;
}

/** Where a star wanders during an exposure; the mean over the exposure is taken out. */
export interface TrackingPath {
  /** Smooth part of the path, pixels, at a moment 0 to 1. */
  readonly at: (time: number) => readonly [x: number, y: number];
  /** Covariance of fast random motion, pixel^2: [xx, xy, yy]. */
  readonly jitter: readonly [xx: number, xy: number, yy: number];
}

const GOLDEN_ANGLE = Math.PI * (3 - Math.sqrt(5));

/**
 * Spread `count` rays evenly over an annular pupil (obstruction: inner over outer radius, 0 to under 1) and over the exposure.
 *
 * Pupil: sunflower spiral (Vogel 1979), equal areas; moments: the first two are then set exactly to those of the annulus
 * (0 and (1 + obstruction^2)/4 per axis). Time: van der Corput sequence. Fast motion: Box-Muller of the R2 sequence
 * (Roberts 2018), its covariance set exactly.
 */
export function makeRays(count: number, obstruction: number, path: TrackingPath): RaySet {
  if (!(obstruction >= 0 && obstruction < 1)) {
    throw new RangeError(`obstruction is a ratio of radii in [0, 1), got ${obstruction}`);
  }
  const u = new Float64Array(count);
  const v = new Float64Array(count);
  const time = new Float64Array(count);
  const trackX = new Float64Array(count);
  const trackY = new Float64Array(count);
  const g1 = new Float64Array(count);
  const g2 = new Float64Array(count);
  const inner = obstruction * obstruction;
  for (let i = 0; i < count; i++) {
    const radius = Math.sqrt(inner + ((1 - inner) * (i + 0.5)) / count);
    u[i] = radius * Math.cos(i * GOLDEN_ANGLE);
    v[i] = radius * Math.sin(i * GOLDEN_ANGLE);
    time[i] = (Math.floor(count * vanDerCorput(i)) + 0.5) / count;
    const amplitude = Math.sqrt(-2 * Math.log(1 - ((0.5 + i * 0.7548776662466927) % 1)));
    const angle = 2 * Math.PI * ((0.5 + i * 0.5698402909980532) % 1);
    g1[i] = amplitude * Math.cos(angle);
    g2[i] = amplitude * Math.sin(angle);
  }
  setMoments(u, v, (1 + inner) / 4);
  setMoments(g1, g2, 1);

  const [xx, xy, yy] = path.jitter;
  // Cholesky factor of the covariance turns unit deviates into the motion.
  const l11 = Math.sqrt(Math.max(0, xx));
  const l21 = l11 > 0 ? xy / l11 : 0;
  const l22 = Math.sqrt(Math.max(0, yy - l21 * l21));
  let meanX = 0;
  let meanY = 0;
  for (let i = 0; i < count; i++) {
    const [x, y] = path.at(time[i]);
    trackX[i] = x + l11 * g1[i];
    trackY[i] = y + l21 * g1[i] + l22 * g2[i];
    meanX += trackX[i] / count;
    meanY += trackY[i] / count;
  }
  for (let i = 0; i < count; i++) {
    trackX[i] -= meanX;
    trackY[i] -= meanY;
  }
  return { count, u, v, time, trackX, trackY };
}

/** Shift and stretch a set of points so that its mean is 0 and its covariance `variance` times the unit matrix. */
function setMoments(x: Float64Array, y: Float64Array, variance: number): void {
  const n = x.length;
  if (n < 4) return;
  let meanX = 0;
  let meanY = 0;
  for (let i = 0; i < n; i++) {
    meanX += x[i] / n;
    meanY += y[i] / n;
  }
  let xx = 0;
  let xy = 0;
  let yy = 0;
  for (let i = 0; i < n; i++) {
    x[i] -= meanX;
    y[i] -= meanY;
    xx += (x[i] * x[i]) / n;
    xy += (x[i] * y[i]) / n;
    yy += (y[i] * y[i]) / n;
  }
  const l11 = Math.sqrt(xx);
  const l21 = xy / l11;
  const l22 = Math.sqrt(yy - l21 * l21);
  const scale = Math.sqrt(variance);
  for (let i = 0; i < n; i++) {
    const a = x[i] / l11;
    y[i] = (scale * (y[i] - l21 * a)) / l22;
    x[i] = scale * a;
  }
}

/** Radical inverse of i in base 2. */
function vanDerCorput(i: number): number {
  let result = 0;
  let bit = 0.5;
  for (let rest = i; rest > 0; rest >>= 1) {
    if (rest & 1) result += bit;
    bit /= 2;
  }
  return result;
}
