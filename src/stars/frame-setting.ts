import type { PixelPlane } from '../fits/types.js';
import type { BackgroundMap, SourceList } from '../image/types.js';
import type { NeighbourIndex } from './neighbours.js';
import type { StarWindow } from './star-window.js';

/** What every step of the measurement of one frame shares. */
export interface FrameSetting {
  readonly plane: PixelPlane;
  readonly background: BackgroundMap;
  readonly sources: SourceList;
  readonly neighbours: NeighbourIndex;
  /** Pixels at or above this level (ADU) may be clipped; null: nothing is. */
  readonly clipLevel: number | null;
  /** Width of the frame's star image, px. */
  readonly widthPx: number;
  /** Radii of the ring for the local sky, px. */
  readonly ringInner: number;
  readonly ringOuter: number;
  readonly isMosaic: boolean;
  /** The one window, gathered anew for each star. */
  readonly window: StarWindow;
}

/** Sky ring for a star image of the given width: beyond its wings for a point, just outside for a wide defocused image. */
export function skyRing(widthPx: number): { readonly inner: number; readonly outer: number } {
  if (widthPx > 10) return { inner: Math.max(30, 1.9 * widthPx), outer: Math.max(42, 2.5 * widthPx) };
  const inner = Math.max(6, 3 * widthPx);
  return { inner, outer: Math.max(inner + 3, 4.2 * widthPx) };
}
