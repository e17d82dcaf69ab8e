import type { StarWindow } from './star-window.js';

/** Pixels of one star as a fit reads them; reused from star to star. */
export interface ChosenPixels {
  /** 0-based positions in the plane. */
  x: Float64Array;
  y: Float64Array;
  /** ADU above the local sky. */
  value: Float64Array;
  count: number;
}

const chosen: ChosenPixels = {
  x: new Float64Array(256),
  y: new Float64Array(256),
  value: new Float64Array(256),
  count: 0,
};

/** The window's usable pixels within `radiusPx` of 0-based (x, y), less `pedestal`. The result is overwritten by the next call. */
export function choosePixels(
  window: StarWindow,
  x: number,
  y: number,
  radiusPx: number,
  pedestal: number,
): ChosenPixels {
  const limit = radiusPx * radiusPx;
  const room = Math.ceil(4 * (radiusPx + 2) * (radiusPx + 2));
  if (chosen.x.length < room) {
    chosen.x = new Float64Array(room);
    chosen.y = new Float64Array(room);
    chosen.value = new Float64Array(room);
  }
  let n = 0;
  for (let j = 0; j < window.height; j += 1) {
    const dy = window.y0 + j - y;
    if (dy * dy > limit) continue;
    for (let i = 0; i < window.width; i += 1) {
      const dx = window.x0 + i - x;
      const k = j * window.width + i;
      if (!window.usable[k] || dx * dx + dy * dy > limit) continue;
      chosen.x[n] = window.x0 + i;
      chosen.y[n] = window.y0 + j;
      chosen.value[n] = window.values[k] - pedestal;
      n += 1;
    }
  }
  chosen.count = n;
  return chosen;
}
