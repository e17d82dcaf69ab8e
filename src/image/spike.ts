/**
 * How much of a pixel's height its four nearest neighbours carry on average, at least, under a Gaussian star image of full
 * width `fwhmPx`, halved for safety: below it a bright pixel is a spike (hot pixel, cosmic ray), not starlight.
 *
 * `spacingPx` is the distance to the neighbours: 1, or sqrt(2) on the green sites of a mosaic.
 */
export function spikeRatio(fwhmPx: number, spacingPx = 1): number {
  return 0.5 * Math.exp((-4 * Math.LN2 * spacingPx * spacingPx) / (fwhmPx * fwhmPx));
}

/**
 * True when the pixel at index `k` is a spike: its neighbours' mean height over `level` stays below `ratio` x its own, beyond what `noise`
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
