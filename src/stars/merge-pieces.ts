import type { SourceList } from '../image/types.js';
import { gather } from '../stats/index.js';
import type { Tensor } from './adaptive-moments.js';
import { indexNeighbours } from './neighbours.js';

/** Peaks within this many standard deviations of a brighter one, measured along the star image's own shape, are pieces of it. */
const NEAREST = 2;

/**
 * Drop peaks that belong to a brighter star: noise on the flat top of a trailed or defocused image makes several. `shape`: the frame's typical second moments.
 * Two real stars that close cannot be told apart at this width anyway.
 */
export function mergePieces(sources: SourceList, shape: Tensor): SourceList {
  const determinant = shape.xx * shape.yy - shape.xy * shape.xy;
  const major = (shape.xx + shape.yy) / 2 + Math.hypot((shape.xx - shape.yy) / 2, shape.xy);
  const reach = NEAREST * Math.sqrt(major);
  const index = indexNeighbours(sources, Math.max(16, reach));
  const isDropped = new Uint8Array(sources.count);
  for (let s = 0; s < sources.count; s += 1) {
    if (isDropped[s]) continue;
    index.near(sources.x[s], sources.y[s], reach, (other) => {
      if (other <= s) return;
      const dx = sources.x[other] - sources.x[s];
      const dy = sources.y[other] - sources.y[s];
      const distance = (shape.yy * dx * dx - 2 * shape.xy * dx * dy + shape.xx * dy * dy) / determinant;
      if (distance < NEAREST * NEAREST) isDropped[other] = 1;
    });
  }
  const kept: number[] = [];
  for (let s = 0; s < sources.count; s += 1) if (!isDropped[s]) kept.push(s);
  if (kept.length === sources.count) return sources;
  return {
    ...sources,
    count: kept.length,
    x: gather(sources.x, kept),
    y: gather(sources.y, kept),
    flux: gather(sources.flux, kept),
    snr: gather(sources.snr, kept),
  };
}
