import type { PixelPlane } from '../fits/types.js';
import type { BackgroundMap, SourceList } from '../image/types.js';
import { pixelQuantum } from '../image/index.js';
import type { Tensor } from './adaptive-moments.js';
import { indexNeighbours, type NeighbourIndex } from './neighbours.js';
import { windowCutter, type StarWindow, type WindowCutter } from './star-window.js';

/** What every step of the measurement of one frame shares. */
export interface FrameSetting {
  readonly plane: PixelPlane;
  readonly background: BackgroundMap;
  readonly sources: SourceList;
  readonly neighbours: NeighbourIndex;
  /** Pixels at or above this level (ADU) may be clipped; null: nothing is. */
  readonly clipLevel: number | null;
  /** Typical second moments of the frame's star image, and its width: the full width at half maximum of that Gaussian, geometric mean of both axes, px. */
  readonly shape: Tensor;
  readonly widthPx: number;
  /** Radii of the ring for the local sky, px. */
  readonly ringInner: number;
  readonly ringOuter: number;
  readonly isMosaic: boolean;
  /** Step of the pixel values, ADU; 0 when there is none. */
  readonly quantum: number;
  /** The one window, cut anew for each star. */
  readonly window: StarWindow;
  readonly cut: WindowCutter['cut'];
}

/** Sky ring for a star image of the given width: beyond its wings for a point, just outside for a wide defocused image. */
export function skyRing(widthPx: number): { readonly inner: number; readonly outer: number } {
  if (widthPx > 10) return { inner: Math.max(30, 1.9 * widthPx), outer: Math.max(42, 2.5 * widthPx) };
  const inner = Math.max(6, 3 * widthPx);
  return { inner, outer: Math.max(inner + 3, 4.2 * widthPx) };
}

/** Everything the measurement shares, from the sources and their typical shape. */
export function frameSetting(
  plane: PixelPlane,
  background: BackgroundMap,
  sources: SourceList,
  clipLevel: number | null,
  shape: Tensor,
): FrameSetting {
  const widthPx = 2.3548 * (shape.xx * shape.yy - shape.xy * shape.xy) ** 0.25;
  const ring = skyRing(widthPx);
  return {
    plane,
    background,
    sources,
    neighbours: indexNeighbours(sources, Math.max(16, 3 * widthPx)),
    clipLevel,
    shape,
    widthPx,
    ringInner: ring.inner,
    ringOuter: ring.outer,
    isMosaic: plane.mosaic !== null,
    quantum: pixelQuantum(plane) * Math.abs(plane.scale),
    ...windowCutter(plane, background, Math.max(ring.outer, 6.5 * widthPx) + 2),
  };
}
