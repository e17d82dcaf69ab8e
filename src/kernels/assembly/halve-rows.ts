import { blockMean, resetSpikes, spikes } from './block-mean';

/** Blocks that share a reading of the sky: as many as one vector of 16-bit integers has lanes. */
const RUN: i32 = 8;

/** Half the sums of neighbouring lanes: eight from sixteen. `rounding`: what is added to a sum before it is halved. */
function pairMeans(a: v128, b: v128, rounding: v128): v128 {
  const low = i32x4.splat(0xffff);
  const p = i32x4.add(i32x4.add(v128.and(a, low), i32x4.shr_u(a, 16)), rounding);
  const q = i32x4.add(i32x4.add(v128.and(b, low), i32x4.shr_u(b, 16)), rounding);
  return i16x8.narrow_i32x4_u(i32x4.shr_u(p, 1), i32x4.shr_u(q, 1));
}

/** One bit for each lane of a pair of vectors that is over the limit. */
function lanesOver(a: v128, b: v128, limit: v128): i32 {
  const none = i16x8.splat(0);
  return (
    i16x8.bitmask(i16x8.ne(i16x8.sub_sat_u(a, limit), none)) |
    (i16x8.bitmask(i16x8.ne(i16x8.sub_sat_u(b, limit), none)) << 8)
  );
}

function halveRow(
  pixels: usize,
  width: i32,
  height: i32,
  parity: i32,
  row: i32,
  columns: i32,
  levels: usize,
  noises: usize,
  limits: usize,
  ratio: f64,
  out: usize,
): void {
  const rowBytes = (<usize>width) << 1;
  const y = 2 * row;
  const none = i32x4.splat(0);
  // The pixels of the upper row that are green: the even ones for parity 0.
  const upper = parity == 0 ? i32x4.splat(0xffff) : i32x4.splat(0xffff0000);
  const everyOther = i32x4(0, 1, 0, 1);
  let at = pixels + <usize>y * rowBytes;
  let to = out;
  let c = 0;
  for (; c + RUN <= columns; c += RUN) {
    const limit = v128.load16_splat(limits);
    const a0 = v128.load(at);
    const b0 = v128.load(at, 16);
    const a1 = v128.load(at + rowBytes);
    const b1 = v128.load(at + rowBytes, 16);
    let highA: v128, highB: v128;
    if (parity < 0) {
      highA = i16x8.max_u(a0, a1);
      highB = i16x8.max_u(b0, b1);
      v128.store(to, pairMeans(i16x8.avgr_u(a0, a1), i16x8.avgr_u(b0, b1), none));
    } else {
      highA = v128.bitselect(a0, a1, upper);
      highB = v128.bitselect(b0, b1, upper);
      v128.store(to, pairMeans(highA, highB, everyOther));
    }
    if (v128.any_true(i16x8.sub_sat_u(i16x8.max_u(highA, highB), limit))) {
      let bright = lanesOver(highA, highB, limit);
      const level = load<f32>(levels);
      const noise = load<f32>(noises);
      while (bright != 0) {
        const k = ctz(bright) >> 1;
        bright &= ~(3 << (2 * k));
        const before = spikes;
        const mean = blockMean<u16>(pixels, width, height, 2, parity, c + k, y, level, noise, <f32>ratio);
        if (spikes > before) store<u16>(to + ((<usize>k) << 1), <u16>(mean + 0.5));
      }
    }
    at += 32;
    to += 16;
    levels += 4;
    noises += 4;
    limits += 2;
  }
  for (; c < columns; c += 1) {
    const mean = blockMean<u16>(
      pixels,
      width,
      height,
      2,
      parity,
      c,
      y,
      load<f32>(levels),
      load<f32>(noises),
      <f32>ratio,
    );
    store<u16>(out + ((<usize>c) << 1), <u16>(mean + 0.5));
  }
}

/**
 * Means of `rows` rows, from number `row` on, of blocks of 2 x 2 unsigned 16-bit pixels, as such integers: `columns` to `out`, and `stride` of them farther for each next row; returns how many
 * spikes were counted as sky.
 * On a mosaic (`parity` >= 0) the two green sites of a block count. Halves are rounded up as often as down, so that the level stays.
 * `levels`, `noises` (floats): sky and pixel noise, one for every 8 blocks; `limits` (16-bit integers): above which a pixel may be a spike.
 */
export function halvePixels(
  pixels: usize,
  width: i32,
  height: i32,
  parity: i32,
  row: i32,
  rows: i32,
  columns: i32,
  stride: i32,
  levels: usize,
  noises: usize,
  limits: usize,
  ratio: f64,
  out: usize,
): i32 {
  resetSpikes();
  for (let j = 0; j < rows; j += 1) {
    halveRow(pixels, width, height, parity, row + j, columns, levels, noises, limits, ratio, out);
    out += (<usize>stride) << 1;
  }
  return spikes;
}

/** Means of 2 x 2 of two rows of unsigned 16-bit integers, `stride` of them apart: `columns` integers to `out`, with room for seven more. */
export function halveBlocks(rows: usize, stride: i32, columns: i32, out: usize): void {
  const below = (<usize>stride) << 1;
  const none = i32x4.splat(0);
  for (let c = 0; c < columns; c += RUN) {
    v128.store(
      out,
      pairMeans(
        i16x8.avgr_u(v128.load(rows), v128.load(rows + below)),
        i16x8.avgr_u(v128.load(rows, 16), v128.load(rows + below, 16)),
        none,
      ),
    );
    rows += 32;
    out += 16;
  }
}
