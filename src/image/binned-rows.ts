import type { PixelPlane } from '../fits/types.js';
import { isSpike } from './spike.js';

/** What binning needs to know about the plane; `spikeLevel`, `noise` in stored units, one value a binned column. */
export interface BinningContext {
  readonly plane: PixelPlane;
  readonly bin: number;
  /** Green sites have (x0 + y0) mod 2 equal to this; null for a monochrome plane. */
  readonly parity: 0 | 1 | null;
  /** See `spikeRatio`. */
  readonly spikeRatio: number;
}

/**
 * Mean of each bin x bin block of pixels (green sites only on a mosaic), for one row of blocks, stored units; spikes count as their surroundings.
 *
 * `level` and `noise`: sky and pixel noise per binned column. Blocks without any finite pixel give the level.
 * Writes `columns` values to `out` from `offset`; returns how many spikes were replaced.
 */
export function binRow(
  context: BinningContext,
  binnedRow: number,
  columns: number,
  level: Float64Array,
  noise: Float64Array,
  out: Float32Array,
  offset: number,
): number {
  const { plane, bin, parity } = context;
  const { data, width } = plane;
  const y0 = binnedRow * bin;
  let spikes = 0;
  if (bin === 2 && parity === null) {
    // The commonest case, by far the most pixels: written out.
    let k = y0 * width;
    for (let column = 0; column < columns; column += 1, k += 2) {
      const a = data[k];
      const b = data[k + 1];
      const c = data[k + width];
      const d = data[k + width + 1];
      const sum = a + b + c + d;
      const limit = level[column] + 6 * noise[column];
      if (sum === sum && !(a > limit || b > limit || c > limit || d > limit)) out[offset + column] = sum / 4;
      else spikes += binBlock(context, column, y0, level[column], noise[column], out, offset + column);
    }
    return spikes;
  }
  for (let column = 0; column < columns; column += 1) {
    spikes += binBlock(context, column, y0, level[column], noise[column], out, offset + column);
  }
  return spikes;
}

/** Mean of one block into `out[at]`; returns the spikes replaced. */
function binBlock(
  { plane, bin, parity, spikeRatio }: BinningContext,
  column: number,
  y0: number,
  level: number,
  noise: number,
  out: Float32Array,
  at: number,
): number {
  const { data, width, height } = plane;
  const limit = level + 6 * noise;
  const step = parity === null ? 1 : 2;
  let spikes = 0;
  let sum = 0;
  let n = 0;
  let high = 0;
  for (let y = y0; y < y0 + bin; y += 1) {
    const x0 = column * bin;
    const end = y * width + x0 + bin;
    for (let k = y * width + x0 + (parity === null ? 0 : (x0 + y + parity) & 1); k < end; k += step) {
      const v = data[k];
      if (v !== v) continue;
      sum += v;
      n += 1;
      if (v > limit) high += 1;
    }
  }
  if (high > 0) {
    for (let y = Math.max(1, y0); y < Math.min(height - 1, y0 + bin); y += 1) {
      for (let x = Math.max(1, column * bin); x < Math.min(width - 1, column * bin + bin); x += 1) {
        if (parity !== null && ((x + y) & 1) !== parity) continue;
        const k = y * width + x;
        if (data[k] > limit && isSpike(data, width, k, level, noise, spikeRatio, parity !== null)) {
          sum += level - data[k];
          spikes += 1;
        }
      }
    }
  }
  out[at] = n > 0 ? sum / n : level;
  return spikes;
}
