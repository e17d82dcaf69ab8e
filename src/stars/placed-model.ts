import type { StarDesk } from '../kernels/index.js';
import { PIXEL_LINES } from './chosen-pixels.js';

/** The profile on the desk: sums over the pixels of one star. */
export interface PlacedModel {
  /** Fills `normal` (lower half) and `gradient` for the parameters at hand; returns the sum of squared residuals. */
  readonly sums: (p: ArrayLike<number>, gamma: number) => number;
  readonly normal: Float64Array;
  readonly gradient: Float64Array;
  /** After `sums`: derivative of the model by parameter k at each pixel; and data less model. */
  readonly derivative: (k: number) => Float32Array;
  readonly residual: () => Float32Array;
  /** After `sums`: J^T N J and the residuals' excess; see the kernel `moffatNoise`. */
  readonly noise: (
    variance: number,
    photonFactor: number,
    inverse: Float64Array | null,
  ) => { readonly middle: Float64Array; readonly excess: number; readonly light: number };
}

/** Where the numbers of a fit lie on the desk, counted in doubles. */
const PLACES = { parameters: 0, gradient: 8, normal: 16, middle: 72, inverse: 128, results: 184, nodes: 192 };
/** First line of the model's own. */
const WORK_LINE = 3;
/** Where `moffatSums` leaves the residuals, after seven derivatives and the model. */
const RESIDUAL = 8;

/** `count` pixels lie on the desk's `PIXEL_LINES`. */
export function placeModel(desk: StarDesk, count: number, nodes: Float64Array, size: number): PlacedModel {
  // Lines as short as the star: they stay together in the fastest memory.
  const stride = (count + 19) & ~15;
  const { kernels, numbers, numbersAt, linesAt } = desk;
  const at = (place: number): number => numbersAt + 8 * place;
  const view = (place: number, count: number): Float64Array => numbers.subarray(place, place + count);
  new Float32Array(numbers.buffer, at(PLACES.nodes), nodes.length).set(nodes);
  const work = linesAt[WORK_LINE];
  const line = (k: number): Float32Array => new Float32Array(numbers.buffer, work + 4 * stride * k, count);
  return {
    normal: view(PLACES.normal, size * size),
    gradient: view(PLACES.gradient, size),
    derivative: line,
    residual: () => line(RESIDUAL),
    sums: (p, gamma) => {
      for (let k = 0; k < 6; k += 1) numbers[PLACES.parameters + k] = p[k];
      numbers[PLACES.parameters + 6] = gamma;
      numbers[PLACES.parameters + 7] = 2 ** gamma - 1;
      return kernels.moffatSums(
        linesAt[PIXEL_LINES.x],
        linesAt[PIXEL_LINES.y],
        linesAt[PIXEL_LINES.value],
        count,
        at(PLACES.nodes),
        nodes.length / 3,
        at(PLACES.parameters),
        size,
        work,
        stride,
        at(PLACES.normal),
        at(PLACES.gradient),
      );
    },
    noise: (variance, photonFactor, inverse) => {
      if (inverse !== null) view(PLACES.inverse, size * size).set(inverse);
      kernels.moffatNoise(
        count,
        size,
        work,
        stride,
        variance,
        photonFactor,
        inverse === null ? 0 : at(PLACES.inverse),
        at(PLACES.middle),
        at(PLACES.results),
      );
      return {
        middle: view(PLACES.middle, size * size),
        excess: numbers[PLACES.results],
        light: numbers[PLACES.results + 1],
      };
    },
  };
}
