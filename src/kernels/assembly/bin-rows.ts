import { blockMean, resetSpikes, spikes } from './block-mean';
import { greenLanes, load4 } from './lanes';

function bin<T>(
  pixels: usize,
  width: i32,
  height: i32,
  size: i32,
  parity: i32,
  row: i32,
  columns: i32,
  run: i32,
  levels: usize,
  noises: usize,
  ratio: f32,
  out: usize,
): i32 {
  resetSpikes();
  const y0 = row * size;
  const rowBytes = <usize>width * sizeof<T>();
  for (let c0 = 0; c0 < columns; c0 += run) {
    const level = load<f32>(levels);
    const noise = load<f32>(noises);
    levels += 4;
    noises += 4;
    const end = min(columns, c0 + run);
    const limit = f32x4.splat(level + 6 * noise);
    let c = c0;
    if (sizeof<T>() == 2 && size == 2 && parity < 0) {
      // By far the most pixels: eight of two rows at a time, in integers.
      const top = level + 6 * noise;
      const highest = i16x8.splat(<i16>(<u16>max(<f32>0, min(<f32>65535, Math.floor(<f64>top) as f32))));
      const quarter = f32x4.splat(0.25);
      for (; c + 4 <= end; c += 4) {
        const at = pixels + <usize>y0 * rowBytes + ((<usize>c) << 2);
        const a = v128.load(at);
        const b = v128.load(at + rowBytes);
        if (v128.any_true(i16x8.sub_sat_u(i16x8.max_u(a, b), highest))) {
          for (let k = c; k < c + 4; k += 1)
            store<f32>(
              out + ((<usize>k) << 2),
              blockMean<T>(pixels, width, height, size, parity, k, y0, level, noise, ratio),
            );
          continue;
        }
        const sums = i32x4.add(i32x4.extadd_pairwise_i16x8_u(a), i32x4.extadd_pairwise_i16x8_u(b));
        v128.store(out + ((<usize>c) << 2), f32x4.mul(f32x4.convert_i32x4_s(sums), quarter));
      }
    }
    const perBlock: f32 = (1 / <f32>(size * size)) * (parity < 0 ? 1 : 2);
    const scale = f32x4.splat(perBlock);
    for (; c + 4 <= end; c += 4) {
      // Sums of 4 blocks; a high pixel or a blank one sends all four to the slow way.
      let isQuiet = i32x4.splat(-1);
      const first = pixels + <usize>y0 * rowBytes + <usize>(c * size) * sizeof<T>();
      let blocks = f32x4.splat(0);
      if (size == 2) {
        let left = f32x4.splat(0);
        let right = f32x4.splat(0);
        for (let j = 0; j < 2; j += 1) {
          const lanes = greenLanes(parity < 0 ? -1 : (y0 + j + parity) & 1);
          const at = first + <usize>j * rowBytes;
          const a = load4<T>(at);
          const b = load4<T>(at + 4 * sizeof<T>());
          left = f32x4.add(left, v128.and(a, lanes));
          right = f32x4.add(right, v128.and(b, lanes));
          isQuiet = v128.and(
            isQuiet,
            v128.or(v128.and(f32x4.le(a, limit), f32x4.le(b, limit)), v128.not(lanes)),
          );
        }
        blocks = f32x4.add(
          v128.shuffle<f32>(left, right, 0, 2, 4, 6),
          v128.shuffle<f32>(left, right, 1, 3, 5, 7),
        );
      } else {
        for (let block = 0; block < 4; block += 1) {
          let sum = f32x4.splat(0);
          for (let j = 0; j < size; j += 1) {
            const lanes = greenLanes(parity < 0 ? -1 : (c * size + y0 + j + parity) & 1);
            const at = first + <usize>j * rowBytes + <usize>(block * size) * sizeof<T>();
            for (let i = 0; i < size; i += 4) {
              const v = load4<T>(at + <usize>i * sizeof<T>());
              sum = f32x4.add(sum, v128.and(v, lanes));
              isQuiet = v128.and(isQuiet, v128.or(f32x4.le(v, limit), v128.not(lanes)));
            }
          }
          const total =
            f32x4.extract_lane(sum, 0) +
            f32x4.extract_lane(sum, 1) +
            f32x4.extract_lane(sum, 2) +
            f32x4.extract_lane(sum, 3);
          blocks = v128.shuffle<f32>(blocks, f32x4.splat(total), 1, 2, 3, 4);
        }
      }
      if (i32x4.all_true(isQuiet)) v128.store(out + ((<usize>c) << 2), f32x4.mul(blocks, scale));
      else {
        for (let k = c; k < c + 4; k += 1)
          store<f32>(
            out + ((<usize>k) << 2),
            blockMean<T>(pixels, width, height, size, parity, k, y0, level, noise, ratio),
          );
      }
    }
    for (; c < end; c += 1)
      store<f32>(
        out + ((<usize>c) << 2),
        blockMean<T>(pixels, width, height, size, parity, c, y0, level, noise, ratio),
      );
  }
  return spikes;
}

/**
 * Means of one row of blocks of `size` x `size` pixels (size 2, 4, 8, ...), `columns` floats to `out`; returns how many spikes were counted as sky.
 * `levels`, `noises`: sky and pixel noise, floats, one for every `run` blocks (a multiple of 4). Blocks without a value get the level.
 */
export function binRow(
  pixels: usize,
  isFloat: bool,
  width: i32,
  height: i32,
  size: i32,
  parity: i32,
  row: i32,
  columns: i32,
  run: i32,
  levels: usize,
  noises: usize,
  ratio: f64,
  out: usize,
): i32 {
  return isFloat
    ? bin<f32>(pixels, width, height, size, parity, row, columns, run, levels, noises, <f32>ratio, out)
    : bin<u16>(pixels, width, height, size, parity, row, columns, run, levels, noises, <f32>ratio, out);
}
