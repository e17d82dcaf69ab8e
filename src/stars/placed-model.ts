import type { StarDesk } from '../kernels/index.js';
import { PIXELS_LINE, strideOf, type ChosenPixels } from './chosen-pixels.js';

/** Lines of the desk after the pixels': the points of a pixel, and the model's own. */
const NODES_LINE = 3;
const WORK_LINE = 4;

/** Where the kernels of a fit find a star's pixels, the points of a pixel, and room for the model. */
export interface FitPlaces {
  readonly pixels: number;
  /** Floats from one line of pixels to the next. */
  readonly stride: number;
  readonly nodesAt: number;
  readonly nodeCount: number;
  readonly work: number;
}

/** Lay the points of a pixel (`pixelNodes`) beside the pixels of a star. */
export function layNodes(desk: StarDesk, nodes: Float64Array): FitPlaces {
  const nodeCount = nodes.length / 3;
  const line = Math.ceil(nodeCount / 4) * 4;
  const to = desk.lines[NODES_LINE];
  to.fill(0, 0, 3 * line);
  for (let k = 0; k < nodeCount; k += 1)
    for (let part = 0; part < 3; part += 1) to[part * line + k] = nodes[3 * k + part];
  const { linesAt } = desk;
  return {
    pixels: linesAt[PIXELS_LINE],
    stride: strideOf(desk),
    nodesAt: linesAt[NODES_LINE],
    nodeCount,
    work: linesAt[WORK_LINE],
  };
}

/** The profile on the desk: sums over the pixels of one star. */
export interface PlacedModel {
  readonly pixels: ChosenPixels;
  readonly places: FitPlaces;
  /** Fills `normal` (lower half, rows of eight) and `gradient` for the parameters at hand: height, x, y, a, b, c, and gamma; returns the sum of squared residuals. */
  readonly sums: (p: ArrayLike<number>, gamma: number) => number;
  readonly normal: Float64Array;
  readonly gradient: Float64Array;
  /** After `sums`: derivative by parameter k, of a star of height 1, at each pixel; and data less model. */
  readonly derivative: (k: number) => Float32Array;
  readonly residual: () => Float32Array;
}

/** Where the numbers of a fit lie on the desk, counted in doubles. */
const PLACES = { parameters: 0, gradient: 8, normal: 16, end: 72 };
/** The model's line of residuals, after seven derivatives. */
const RESIDUAL = 7;

/** `pixels` lie on their desk. */
export function placeModel(chosen: ChosenPixels, nodes: Float64Array): PlacedModel {
  const { desk, count } = chosen;
  const { kernels, numbers, numbersAt } = desk;
  const places = layNodes(desk, nodes);
  const { pixels, stride, nodesAt, nodeCount, work } = places;
  const line = (k: number): Float32Array =>
    new Float32Array(numbers.buffer, work + k * kernels.modelLineBytes(count), count);
  return {
    pixels: chosen,
    places,
    normal: numbers.subarray(PLACES.normal, PLACES.end),
    gradient: numbers.subarray(PLACES.gradient, PLACES.normal),
    derivative: line,
    residual: () => line(RESIDUAL),
    sums: (p, gamma) => {
      for (let k = 0; k < 6; k += 1) numbers[PLACES.parameters + k] = p[k];
      numbers[PLACES.parameters + 6] = gamma;
      numbers[PLACES.parameters + 7] = 2 ** gamma - 1;
      return kernels.moffatSums(
        pixels,
        stride,
        count,
        nodesAt,
        nodeCount,
        work,
        numbersAt + 8 * PLACES.parameters,
        numbersAt + 8 * PLACES.normal,
        numbersAt + 8 * PLACES.gradient,
      );
    },
  };
}
