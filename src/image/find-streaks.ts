import type { PixelPlane } from '../fits/types.js';
import type { BackgroundMap, Streak } from './types.js';

export function findStreaks(_plane: PixelPlane, _background: BackgroundMap): Streak[] {
  return [];
}
