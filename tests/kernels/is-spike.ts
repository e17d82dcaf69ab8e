/**
 * The slow, plain version of what the kernels ask: true when the pixel at index `k` is a spike: its neighbours' mean height over `level` stays below `ratio` x its own, beyond what `noise`
 * (stored units) could do. The caller keeps `k` off the border by one pixel. `diagonal` uses the four diagonal neighbours (green sites).
 */
export function isSpike(
  data: Uint16Array | Float32Array | Float64Array,
  width: number,
  k: number,
  level: number,
  noise: number,
  ratio: number,
  diagonal: boolean,
): boolean {
  const around = diagonal
    ? data[k - width - 1] + data[k - width + 1] + data[k + width - 1] + data[k + width + 1]
    : data[k - 1] + data[k + 1] + data[k - width] + data[k + width];
  return around / 4 - level < ratio * (data[k] - level) - noise;
}
