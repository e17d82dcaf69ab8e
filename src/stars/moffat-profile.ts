/** Elliptical Moffat I0 (1 + A dx^2 + 2 B dx dy + C dy^2)^(-beta). */
export interface MoffatShape {
  readonly a: number;
  readonly b: number;
  readonly c: number;
  readonly beta: number;
}

/** Offsets and weights of Gauss-Legendre quadrature over one pixel, -0.5..0.5, for orders 1 to 4 (Abramowitz & Stegun, table 25.4). */
const NODES: Readonly<Record<number, readonly (readonly [offset: number, weight: number])[]>> = {
  1: [[0, 1]],
  2: [
    [-0.28867513459481287, 0.5],
    [0.28867513459481287, 0.5],
  ],
  3: [
    [-0.3872983346207417, 5 / 18],
    [0, 8 / 18],
    [0.3872983346207417, 5 / 18],
  ],
  4: [
    [-0.43056815579702629, 0.17392742256872693],
    [-0.16999052179242813, 0.32607257743127307],
    [0.16999052179242813, 0.32607257743127307],
    [0.43056815579702629, 0.17392742256872693],
  ],
};

/** Points of a pixel at which a profile is averaged: (dx, dy, weight) triples; order 1 is the pixel's centre alone. */
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

/** Height at (dx, dy) from the centre, averaged over the pixel's nodes, for I0 = 1. */
export function moffatHeight(shape: MoffatShape, nodes: Float64Array, dx: number, dy: number): number {
  let sum = 0;
  for (let k = 0; k < nodes.length; k += 3) {
    const x = dx + nodes[k];
    const y = dy + nodes[k + 1];
    sum += nodes[k + 2] * (1 + shape.a * x * x + 2 * shape.b * x * y + shape.c * y * y) ** -shape.beta;
  }
  return sum;
}

/** Axes of the half-maximum ellipse of a Moffat before the pixel: full widths (px) and angle of the major one (radians). */
export function moffatAxes(shape: MoffatShape): {
  readonly major: number;
  readonly minor: number;
  readonly angle: number;
} {
  const mean = (shape.a + shape.c) / 2;
  const split = Math.hypot((shape.a - shape.c) / 2, shape.b);
  const width = 2 * Math.sqrt(2 ** (1 / shape.beta) - 1);
  return {
    major: width / Math.sqrt(Math.max(mean - split, 1e-12)),
    minor: width / Math.sqrt(mean + split),
    angle: 0.5 * Math.atan2(-2 * shape.b, shape.c - shape.a),
  };
}

/** Full width at half maximum along direction `angle` of the light on the sensor, pixel included. */
export function widthOnSensor(
  shape: MoffatShape,
  nodes: Float64Array,
  angle: number,
  startWidth: number,
): number {
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  const half = moffatHeight(shape, nodes, 0, 0) / 2;
  let low = 0;
  let high = Math.max(0.6, startWidth * 0.6 + 0.3);
  while (moffatHeight(shape, nodes, high * c, high * s) > half && high < 1e3) high *= 1.3;
  let fLow = moffatHeight(shape, nodes, 0, 0) - half;
  let fHigh = moffatHeight(shape, nodes, high * c, high * s) - half;
  // Regula falsi with the Illinois weights.
  for (let k = 0; k < 40 && high - low > 1e-6; k += 1) {
    const t = low + ((high - low) * fLow) / (fLow - fHigh);
    const f = moffatHeight(shape, nodes, t * c, t * s) - half;
    if (Math.abs(f) < 1e-7 * half) return 2 * t;
    if (f > 0) {
      low = t;
      fLow = f;
      fHigh /= 2;
    } else {
      high = t;
      fHigh = f;
      fLow /= 2;
    }
  }
  return low + high;
}
