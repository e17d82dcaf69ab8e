/**
 * How much of a pixel's height its four nearest neighbours carry on average, at least, under a Gaussian star image of full
 * width `fwhmPx`, halved for safety: below it a bright pixel is a spike (hot pixel, cosmic ray), not starlight.
 *
 * `spacingPx` is the distance to the neighbours: 1, or sqrt(2) on the green sites of a mosaic.
 */
export function spikeRatio(fwhmPx: number, spacingPx = 1): number {
  return 0.5 * Math.exp((-4 * Math.LN2 * spacingPx * spacingPx) / (fwhmPx * fwhmPx));
}
