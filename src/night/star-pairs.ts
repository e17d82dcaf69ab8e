import type { StarPositions } from './star-positions.js';

/** Pairs of stars of one list, as columns: numbers of the two stars (i < j), distance, and logarithm of the flux of i over that of j. */
export interface StarPairs {
  readonly count: number;
  readonly i: Uint16Array;
  readonly j: Uint16Array;
  readonly lengthPx: Float64Array;
  readonly logRatio: Float64Array;
}

/** A short pair fixes neither scale nor rotation: shorter ones than this many tolerances are left out. */
const shortestInTolerances = 8;

/** All pairs among `most` stars from number `from` on, brightest first (rising i + j). */
export function brightestPairs(stars: StarPositions, from: number, most: number): StarPairs {
  const end = Math.min(from + most, stars.count);
  const room = Math.max(0, ((end - from) * (end - from - 1)) / 2);
  const i = new Uint16Array(room);
  const j = new Uint16Array(room);
  const lengthPx = new Float64Array(room);
  const logRatio = new Float64Array(room);
  const shortest = shortestInTolerances * stars.tolerancePx;
  let count = 0;
  for (let sum = 2 * from + 1; sum < 2 * end - 2; sum++) {
    for (let q = Math.floor(sum / 2) + 1; q <= Math.min(end - 1, sum - from); q++) {
      const p = sum - q;
      const dx = stars.x[p]! - stars.x[q]!;
      const dy = stars.y[p]! - stars.y[q]!;
      const length = Math.sqrt(dx * dx + dy * dy);
      if (length < shortest) continue;
      i[count] = p;
      j[count] = q;
      lengthPx[count] = length;
      logRatio[count] = Math.log(stars.flux[p]! / stars.flux[q]!);
      count++;
    }
  }
  return { count, i, j, lengthPx, logRatio };
}

/** The same pairs by rising length. */
export function pairsByLength(pairs: StarPairs): StarPairs {
  const { count, lengthPx } = pairs;
  const order = Uint32Array.from({ length: count }, (_, k) => k).sort((a, b) => lengthPx[a]! - lengthPx[b]!);
  return {
    count,
    i: Uint16Array.from(order, (k) => pairs.i[k]!),
    j: Uint16Array.from(order, (k) => pairs.j[k]!),
    lengthPx: Float64Array.from(order, (k) => lengthPx[k]!),
    logRatio: Float64Array.from(order, (k) => pairs.logRatio[k]!),
  };
}
