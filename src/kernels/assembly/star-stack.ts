/** One row of a window between its pixels: weighted sums of the values and of the weights; NaN pixels have none. */
function betweenColumns(row: usize, taps: usize, count: i32, sums: usize, weights: usize): void {
  for (let i = 0; i < count; i += 1) {
    const tap = taps + <usize>i * 12;
    const at = row + ((<usize>load<i32>(tap)) << 2);
    const a = load<f32>(at);
    const b = load<f32>(at + 4);
    const weightA = a == a ? load<f32>(tap + 4) : 0;
    const weightB = b == b ? load<f32>(tap + 8) : 0;
    store<f32>(sums + ((<usize>i) << 2), (a == a ? weightA * a : 0) + (b == b ? weightB * b : 0));
    store<f32>(weights + ((<usize>i) << 2), weightA + weightB);
  }
}

/**
 * A window of `rows` lines of `width` floats as `side` x `side` sub-pixels: their values (infinite where no pixel speaks for one) and weights,
 * each a list of side^2 floats with room for three more. Two pixels along each axis speak for a sub-pixel: `tapsX` and `tapsY` hold for each of
 * the `side` places the first of the two (32-bit integer) and their weights (floats). `lines`: room for 2 rows (side + 3) floats.
 */
export function resampleWindow(
  window: usize,
  width: i32,
  rows: i32,
  tapsX: usize,
  tapsY: usize,
  side: i32,
  lines: usize,
  values: usize,
  weights: usize,
): void {
  // Vectors run over the end of a line by up to three floats.
  const lineBytes = (<usize>(side + 3)) << 2;
  const second = lines + <usize>rows * lineBytes;
  for (let y = 0; y < rows; y += 1)
    betweenColumns(
      window + ((<usize>(y * width)) << 2),
      tapsX,
      side,
      lines + <usize>y * lineBytes,
      second + <usize>y * lineBytes,
    );
  for (let v = 0; v < side; v += 1) {
    const tap = tapsY + <usize>v * 12;
    const line = <usize>load<i32>(tap) * lineBytes;
    const below = f32x4.splat(load<f32>(tap + 4));
    const above = f32x4.splat(load<f32>(tap + 8));
    for (let u = 0; u < side; u += 4) {
      const at = line + ((<usize>u) << 2);
      const sum = f32x4.add(
        f32x4.mul(below, v128.load(lines + at)),
        f32x4.mul(above, v128.load(lines + at + lineBytes)),
      );
      const weight = f32x4.add(
        f32x4.mul(below, v128.load(second + at)),
        f32x4.mul(above, v128.load(second + at + lineBytes)),
      );
      const isKnown = f32x4.gt(weight, f32x4.splat(0));
      const out = (<usize>(v * side + u)) << 2;
      v128.store(values + out, v128.bitselect(f32x4.div(sum, weight), f32x4.splat(Infinity), isKnown));
      v128.store(weights + out, weight);
    }
  }
}

/** Sixteen columns are sorted at a time. */
const STRIP = 16;
const STRIP_BYTES: usize = 64;

/** Sorts each of sixteen columns of `rows` floats: Batcher's odd-even merging, which compares at the same places whatever the values. */
function sortColumns(at: usize, rows: i32): void {
  for (let p = 1, shift = 1; p < rows; p <<= 1, shift += 1) {
    for (let k = p; k >= 1; k >>= 1) {
      for (let j = k % p; j + k < rows; j += 2 * k) {
        const most = min(k, rows - j - k);
        for (let i = 0; i < most; i += 1) {
          if ((i + j) >> shift != (i + j + k) >> shift) continue;
          const low = at + <usize>(i + j) * STRIP_BYTES;
          const high = low + <usize>k * STRIP_BYTES;
          for (let lane: usize = 0; lane < STRIP_BYTES; lane += 16) {
            const a = v128.load(low + lane);
            const b = v128.load(high + lane);
            v128.store(low + lane, f32x4.pmin(a, b));
            v128.store(high + lane, f32x4.pmax(a, b));
          }
        }
      }
    }
  }
}

/**
 * Weighted mean over `layers` lists of `count` floats (the next list `stride` floats on), place by place, of the values near their median: not farther
 * from it than `clip` times the largest of their robust spread (1.4826 median distances), `floor` and `part` of the median. Of fewer than three values all count.
 * An infinite value is none; NaN where there is none at all. `count` is a multiple of 16; `strip`: room for 16 layers + 48 floats.
 */
export function meanNearMedian(
  values: usize,
  weights: usize,
  layers: i32,
  count: i32,
  stride: i32,
  clip: f32,
  floor: f32,
  part: f32,
  strip: usize,
  out: usize,
): void {
  const layerBytes = (<usize>stride) << 2;
  const known = strip + <usize>layers * STRIP_BYTES;
  const medians = known + STRIP_BYTES;
  const limits = medians + STRIP_BYTES;
  const infinite = f32x4.splat(Infinity);
  for (let c = 0; c < count; c += STRIP) {
    const first = (<usize>c) << 2;
    for (let lane: usize = 0; lane < STRIP_BYTES; lane += 16) {
      let found = i32x4.splat(0);
      for (let s = 0; s < layers; s += 1) {
        const v = v128.load(values + <usize>s * layerBytes + first + lane);
        v128.store(strip + <usize>s * STRIP_BYTES + lane, v);
        found = i32x4.sub(found, f32x4.lt(v, infinite));
      }
      v128.store(known + lane, found);
    }
    sortColumns(strip, layers);
    for (let lane: usize = 0; lane < STRIP_BYTES; lane += 4) {
      const rank = <usize>(load<i32>(known + lane) >> 1);
      store<f32>(medians + lane, load<f32>(strip + rank * STRIP_BYTES + lane));
    }
    for (let lane: usize = 0; lane < STRIP_BYTES; lane += 16) {
      const median = v128.load(medians + lane);
      for (let s = 0; s < layers; s += 1) {
        const v = v128.load(values + <usize>s * layerBytes + first + lane);
        const distance = f32x4.abs(f32x4.sub(v, median));
        v128.store(
          strip + <usize>s * STRIP_BYTES + lane,
          v128.bitselect(distance, infinite, f32x4.lt(v, infinite)),
        );
      }
    }
    sortColumns(strip, layers);
    for (let lane: usize = 0; lane < STRIP_BYTES; lane += 4) {
      const n = load<i32>(known + lane);
      const spread = <f32>1.4826 * load<f32>(strip + <usize>(n >> 1) * STRIP_BYTES + lane);
      const least = max(floor, part * abs(load<f32>(medians + lane)));
      store<f32>(limits + lane, n < 3 ? Infinity : clip * max(spread, least));
    }
    for (let lane: usize = 0; lane < STRIP_BYTES; lane += 16) {
      const median = v128.load(medians + lane);
      const limit = v128.load(limits + lane);
      let sum = f32x4.splat(0);
      let total = f32x4.splat(0);
      for (let s = 0; s < layers; s += 1) {
        const at = <usize>s * layerBytes + first + lane;
        const v = v128.load(values + at);
        const isNear = v128.and(f32x4.le(f32x4.abs(f32x4.sub(v, median)), limit), f32x4.lt(v, infinite));
        const weight = v128.and(v128.load(weights + at), isNear);
        sum = f32x4.add(sum, v128.and(f32x4.mul(v, weight), isNear));
        total = f32x4.add(total, weight);
      }
      // Nothing over nothing is NaN.
      v128.store(out + first + lane, f32x4.div(sum, total));
    }
  }
}
