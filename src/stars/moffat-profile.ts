/**
 * Elliptical Moffat profile in its half-maximum ellipse: height (1 + (2^gamma - 1) q)^(-1/gamma), q = a dx^2 + 2 b dx dy + c dy^2, gamma = 1 / beta.
 *
 * q = 1 is the half-maximum contour whatever gamma is, so width and exponent hardly disturb each other in a fit. gamma -> 0 is the Gaussian;
 * below 0 the profile ends at a finite radius, as a defocused or trailed star's does.
 */
export interface MoffatShape {
  readonly a: number;
  readonly b: number;
  readonly c: number;
  readonly gamma: number;
}

export const GAMMA_MIN = -0.6;
export const GAMMA_MAX = 0.85;

/** Offsets and weights of Gauss-Legendre quadrature over one pixel, -0.5..0.5, for orders 1 to 4 (Abramowitz & Stegun, table 25.4). */
const NODES: Readonly<Record<number, readonly (readonly [offset: number, weight: number])[]>> = {
  1: [[0, 1]],
  2: [
    [-0.288675134594813, 0.5],
    [0.288675134594813, 0.5],
  ],
  3: [
    [-0.387298334620742, 5 / 18],
    [0, 8 / 18],
    [0.387298334620742, 5 / 18],
  ],
  4: [
    [-0.430568155797026, 0.173927422568727],
    [-0.169990521792428, 0.326072577431273],
    [0.169990521792428, 0.326072577431273],
    [0.430568155797026, 0.173927422568727],
  ],
};

/** Points of a pixel at which a profile is averaged: (dx, dy, weight) triples; order 1 is the pixel's centre alone. Throws RangeError for orders beyond 1..4. */
export function pixelNodes(order: number): Float64Array {
  const line = NODES[order];
  if (line === undefined) throw new RangeError(`no quadrature of order ${order}`);
  const nodes = new Float64Array(3 * line.length * line.length);
  let k = 0;
  for (const [y, wy] of line) {
    for (const [x, wx] of line) {
      nodes[k++] = x;
      nodes[k++] = y;
      nodes[k++] = wx * wy;
    }
  }
  return nodes;
}

/** Natural logarithm of the height at form value q; -Infinity beyond the end of a profile that ends. */
export function moffatLog(q: number, gamma: number): number {
  if (Math.abs(gamma) < 1e-4) return -Math.LN2 * q * (1 + 0.5 * Math.LN2 * gamma * (1 - q));
  const base = 1 + (2 ** gamma - 1) * q;
  return base > 0 ? -Math.log(base) / gamma : -Infinity;
}

/** Height at (dx, dy) from the centre, averaged over the pixel's nodes; 1 at the centre before the pixel. */
export function moffatHeight(shape: MoffatShape, nodes: Float64Array, dx: number, dy: number): number {
  let sum = 0;
  for (let k = 0; k < nodes.length; k += 3) {
    const x = dx + nodes[k];
    const y = dy + nodes[k + 1];
    sum +=
      nodes[k + 2] *
      Math.exp(moffatLog(shape.a * x * x + 2 * shape.b * x * y + shape.c * y * y, shape.gamma));
  }
  return sum;
}

/** Axes of the half-maximum ellipse before the pixel: full widths (px) and angle of the major one (radians). */
export function moffatAxes(shape: MoffatShape): {
  readonly major: number;
  readonly minor: number;
  readonly angle: number;
} {
  const mean = (shape.a + shape.c) / 2;
  const split = Math.hypot((shape.a - shape.c) / 2, shape.b);
  return {
    major: 2 / Math.sqrt(Math.max(mean - split, 1e-12)),
    minor: 2 / Math.sqrt(mean + split),
    angle: 0.5 * Math.atan2(-2 * shape.b, shape.c - shape.a),
  };
}

/** What a pixel adds to a width, in quadrature: that of a Gaussian with a pixel's variance, 2.3548 / sqrt(12). */
const PIXEL_WIDTH = 0.68;

/** Full width at half maximum along direction `angle` (radians) of the light on the sensor, pixel included. `startWidth`: the width before the pixel. */
export function widthOnSensor(
  shape: MoffatShape,
  nodes: Float64Array,
  angle: number,
  startWidth: number,
): number {
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  const half = moffatHeight(shape, nodes, 0, 0) / 2;
  // The logarithm of the height is nearly a straight line in the squared distance: secant steps in these, inside a bracket.
  let low = 0;
  let high = Infinity;
  let before = 0;
  let logBefore = Math.LN2;
  let t = Math.hypot(startWidth, nodes.length > 3 ? PIXEL_WIDTH : 0) / 2;
  for (let k = 0; k < 60; k += 1) {
    const log = Math.log(moffatHeight(shape, nodes, t * c, t * s) / half);
    if (Math.abs(log) < 2e-6) return 2 * t;
    if (log > 0) low = t;
    else high = t;
    const square = t * t - (log * (t * t - before)) / (log - logBefore);
    before = t * t;
    logBefore = log;
    const next = Math.sqrt(square);
    t = next > low && next < high ? next : high < Infinity ? (low + high) / 2 : 1.3 * t;
  }
  return 2 * t;
}
