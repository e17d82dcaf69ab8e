import { load1 } from './lanes';

/**
 * Is the pixel a spike: its four neighbours' mean height over `level` below `ratio` times its own, beyond what `noise` could do? `diagonal` takes the diagonal neighbours (green
 * sites). The caller keeps off the border by one pixel; `ratio` as `spikeRatio` of the image folder says.
 */
export function isSpike<T>(
  at: usize,
  rowBytes: usize,
  level: f32,
  noise: f32,
  ratio: f32,
  diagonal: bool,
): bool {
  const p = sizeof<T>();
  const around = diagonal
    ? load1<T>(at - rowBytes - p) +
      load1<T>(at - rowBytes + p) +
      load1<T>(at + rowBytes - p) +
      load1<T>(at + rowBytes + p)
    : load1<T>(at - p) + load1<T>(at + p) + load1<T>(at - rowBytes) + load1<T>(at + rowBytes);
  return around / 4 - level < ratio * (load1<T>(at) - level) - noise;
}
