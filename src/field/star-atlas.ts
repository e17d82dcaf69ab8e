import type { PixelPlane } from '../fits/types.js';
import type { BackgroundMap } from '../image/types.js';
import type { StarTable } from '../stars/types.js';
import { meanStars, type StarAtlas } from './mean-stars.js';
import { encodeStarAtlas } from './star-atlas-picture.js';

/**
 * The star atlas of a frame: the mean star of each part of the sensor as a record (see `meanStars`), and as a PNG of the cells
 * in their places.
 */
export async function makeStarAtlas(
  plane: PixelPlane,
  background: BackgroundMap,
  table: StarTable,
): Promise<{ readonly atlas: StarAtlas; readonly png: Uint8Array }> {
  const atlas = meanStars(plane, background, table);
  return { atlas, png: await encodeStarAtlas(atlas) };
}
