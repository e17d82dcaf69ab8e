import type { MosaicPattern } from '../fits/types.js';

/**
 * Which pixels of a colour mosaic are green: those with (x0 + y0) mod 2 equal to the returned parity (0-based x0, y0).
 *
 * Null for a monochrome plane. Throws RangeError for a cell whose greens do not lie on a diagonal (not a 2 x 2 Bayer mosaic).
 */
export function greenParity(mosaic: MosaicPattern | null): 0 | 1 | null {
  if (mosaic === null) return null;
  const [a, b, c, d] = mosaic.cell;
  if (a === 'G' && d === 'G') return 0;
  if (b === 'G' && c === 'G') return 1;
  throw new RangeError(`a mosaic cell ${mosaic.cell.join('')} has no diagonal of greens`);
}
