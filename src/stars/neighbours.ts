import type { SourceList } from '../image/types.js';

/** Finds the sources near a position quickly: sources sorted into square cells. */
export interface NeighbourIndex {
  /** Call `visit` with the index of each source within `radiusPx` of FITS (x, y). */
  readonly near: (x: number, y: number, radiusPx: number, visit: (index: number) => void) => void;
}

export function indexNeighbours(
  sources: Pick<SourceList, 'count' | 'x' | 'y'>,
  cellPx: number,
): NeighbourIndex {
  const cells = new Map<number, number[]>();
  const key = (i: number, j: number): number => j * 65536 + i;
  for (let s = 0; s < sources.count; s += 1) {
    const k = key(Math.floor(sources.x[s] / cellPx), Math.floor(sources.y[s] / cellPx));
    const list = cells.get(k);
    if (list) list.push(s);
    else cells.set(k, [s]);
  }
  return {
    near: (x, y, radiusPx, visit) => {
      const limit = radiusPx * radiusPx;
      const i1 = Math.floor((x + radiusPx) / cellPx);
      const j1 = Math.floor((y + radiusPx) / cellPx);
      for (let j = Math.max(0, Math.floor((y - radiusPx) / cellPx)); j <= j1; j += 1) {
        for (let i = Math.max(0, Math.floor((x - radiusPx) / cellPx)); i <= i1; i += 1) {
          for (const s of cells.get(key(i, j)) ?? []) {
            if ((sources.x[s] - x) ** 2 + (sources.y[s] - y) ** 2 <= limit) visit(s);
          }
        }
      }
    },
  };
}
