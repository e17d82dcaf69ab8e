import type { SourceList } from '../image/types.js';

/** Finds the sources near a position quickly: sources sorted into square cells. */
export interface NeighbourIndex {
  /** Call `visit` with the index of each source within `radiusPx` of FITS (x, y). */
  readonly near: (x: number, y: number, radiusPx: number, visit: (index: number) => void) => void;
}

/** Index of sources on the frame (FITS positions, not below 0); memory goes as the frame's area over that of a cell. */
export function indexNeighbours(
  { count, x: xs, y: ys }: Pick<SourceList, 'count' | 'x' | 'y'>,
  cellPx: number,
): NeighbourIndex {
  let farX = 0;
  let farY = 0;
  for (let s = 0; s < count; s += 1) {
    if (xs[s] > farX) farX = xs[s];
    if (ys[s] > farY) farY = ys[s];
  }
  const columns = Math.floor(farX / cellPx) + 1;
  const rows = Math.floor(farY / cellPx) + 1;
  // Chains: a cell's first source, each source's next in its cell, both from 1 up; 0 ends.
  const first = new Uint32Array(columns * rows);
  const next = new Uint32Array(count);
  for (let s = count - 1; s >= 0; s -= 1) {
    const cell = Math.floor(ys[s] / cellPx) * columns + Math.floor(xs[s] / cellPx);
    next[s] = first[cell];
    first[cell] = s + 1;
  }
  return {
    near: (x, y, radiusPx, visit) => {
      const limit = radiusPx * radiusPx;
      const i0 = Math.max(0, Math.floor((x - radiusPx) / cellPx));
      const i1 = Math.min(columns - 1, Math.floor((x + radiusPx) / cellPx));
      const j1 = Math.min(rows - 1, Math.floor((y + radiusPx) / cellPx));
      for (let j = Math.max(0, Math.floor((y - radiusPx) / cellPx)); j <= j1; j += 1) {
        for (let i = i0; i <= i1; i += 1) {
          for (let link = first[j * columns + i]; link > 0; link = next[link - 1]) {
            const dx = xs[link - 1] - x;
            const dy = ys[link - 1] - y;
            if (dx * dx + dy * dy <= limit) visit(link - 1);
          }
        }
      }
    },
  };
}
