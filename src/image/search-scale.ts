/**
 * Bin factor (a power of two) at which a star image of half-flux diameter `scalePx` is 1.4 to 2.8 blocks wide: there a star is one
 * compact peak, whether it is a point or a defocused ring, and a search for local maxima is close to a matched filter.
 */
export function searchBinning(scalePx: number, isMosaic: boolean): number {
  const bin = 2 ** Math.floor(Math.log2(Math.max(1.4, scalePx) / 1.4));
  return Math.min(32, Math.max(isMosaic ? 2 : 1, bin));
}
