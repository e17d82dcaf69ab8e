import type { PixelPlane } from '../fits/types.js';
import { interpolateTiles } from './background-at.js';
import type { BackgroundMap } from './types.js';

/** Blocks that share one reading of the map: the sky hardly changes over so few. */
const RUN = 8;

/** Sky level and pixel noise along one row of blocks of `bin` pixels, stored units; fills the first `columns` entries. `row` may lie between rows. */
export function skyLine(
  plane: PixelPlane,
  background: BackgroundMap,
  bin: number,
  row: number,
  columns: number,
  level: Float64Array,
  noise: Float64Array,
): void {
  const y = (row + 0.5) * bin - 0.5;
  for (let c = 0; c < columns; c += RUN) {
    const x = (c + RUN / 2) * bin - 0.5;
    const sky = (interpolateTiles(background, background.level, x, y) - plane.zero) / plane.scale;
    const sd = interpolateTiles(background, background.noise, x, y) / Math.abs(plane.scale);
    level.fill(sky, c, Math.min(columns, c + RUN));
    noise.fill(sd, c, Math.min(columns, c + RUN));
  }
}
