import { load1 } from './lanes';
import { isSpike } from './spike';

/** Spikes that `blockMean` met; whoever counts them sets it to zero. */
export let spikes: i32 = 0;

export function resetSpikes(): void {
  spikes = 0;
}

/** Mean of one block of `bin` x `bin` pixels, spikes counted as sky; the level for a block without a value. */
export function blockMean<T>(
  pixels: usize,
  width: i32,
  height: i32,
  bin: i32,
  parity: i32,
  column: i32,
  y0: i32,
  level: f32,
  noise: f32,
  ratio: f32,
): f32 {
  const limit = level + 6 * noise;
  const rowBytes = <usize>width * sizeof<T>();
  const x0 = column * bin;
  let sum: f32 = 0;
  let n = 0;
  for (let y = y0; y < y0 + bin; y += 1) {
    for (let x = x0; x < x0 + bin; x += 1) {
      if (parity >= 0 && ((x + y) & 1) != parity) continue;
      const at = pixels + <usize>y * rowBytes + <usize>x * sizeof<T>();
      const v = load1<T>(at);
      if (v != v) continue;
      n += 1;
      if (
        v > limit &&
        x > 0 &&
        y > 0 &&
        x < width - 1 &&
        y < height - 1 &&
        isSpike<T>(at, rowBytes, level, noise, ratio, parity >= 0)
      ) {
        sum += level;
        spikes += 1;
      } else sum += v;
    }
  }
  return n > 0 ? sum / <f32>n : level;
}
