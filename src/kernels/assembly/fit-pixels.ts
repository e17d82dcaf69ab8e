/** The pixels of one star and the lines of floats that a model of it leaves, as the functions of a fit hand them on. */
@unmanaged
export class FitPixels {
  /** Columns, rows and values: `count` floats each. */
  xs: usize;
  ys: usize;
  values: usize;
  count: i32;
  /** Points of a pixel: lines of dx, dy and weight, each of `nodeCount` floats and zeros up to a multiple of 4. */
  nodes: usize;
  nodeCount: i32;
  /** First line of the model's, and bytes from one to the next. Lines 0 to 6: derivatives by height, x, y, a, b, c, gamma of a star of height 1 (the first is the profile itself); 7: data less model. 0 beyond `count`. */
  work: usize;
  line: usize;
}

/** Bytes of a line that count: whole vectors. */
export function bytesOf(pixels: FitPixels): usize {
  return (<usize>((pixels.count + 3) & ~3)) << 2;
}

/** Line k of the model's. */
export function lineOf(pixels: FitPixels, k: i32): usize {
  return pixels.work + <usize>k * pixels.line;
}

export const RESIDUAL: i32 = 7;

/** Bytes from one of the model's lines to the next: as short as the star, so that they stay together in the fastest memory. */
export function modelLineBytes(count: i32): i32 {
  return (((count + 15) & ~15) << 2) + 64;
}

/** The pixels at hand: one star at a time. */
const current = changetype<FitPixels>(memory.data(64, 16));

/** `pixels`: lines of columns, rows and values, `stride` floats apart; `nodes`: as in `FitPixels`; `work`: room for eight lines of `count` + 31 floats. Values are made 0 as far as the last vector goes. */
export function fitPixels(
  pixels: usize,
  stride: i32,
  count: i32,
  nodes: usize,
  nodeCount: i32,
  work: usize,
): FitPixels {
  const line = (<usize>stride) << 2;
  current.xs = pixels;
  current.ys = pixels + line;
  current.values = pixels + 2 * line;
  current.count = count;
  current.nodes = nodes;
  current.nodeCount = nodeCount;
  current.work = work;
  current.line = modelLineBytes(count);
  for (let i = count; i & 3; i += 1) store<f32>(current.values + ((<usize>i) << 2), 0);
  return current;
}
