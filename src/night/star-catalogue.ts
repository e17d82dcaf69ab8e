import type { RegisteredFrame } from './register-fields.js';

/** For every frame of a field which of the field's stars it shows. */
export interface FieldStars {
  readonly count: number;
  /** Position of each star on the field's reference, pixels. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** One list a frame: for each of its stars the number of the star in the field. */
  readonly starOf: readonly Int32Array[];
}

/**
 * Gives the stars of registered frames common numbers: stars of different frames that lie at one place of the reference frame are one star.
 * Two stars of one frame never get the same number (the second gets -1).
 */
export function numberFieldStars(frames: readonly RegisteredFrame<unknown>[]): FieldStars {
  const reachPx = Math.max(
    1,
    ...frames.map((frame) => Math.min(frame.stars.tolerancePx, 4 * frame.registration.rmsPx)),
  );
  const cells = new Map<number, number[]>();
  const xs: number[] = [];
  const ys: number[] = [];
  const cellOf = (x: number, y: number): number => Math.floor(x / reachPx) + 1e6 * Math.floor(y / reachPx);
  const find = (x: number, y: number): number => {
    let best = -1;
    let bestSquare = reachPx * reachPx;
    for (let dy = -1; dy <= 1; dy++) {
      for (let dx = -1; dx <= 1; dx++) {
        for (const k of cells.get(cellOf(x + dx * reachPx, y + dy * reachPx)) ?? []) {
          const square = (xs[k]! - x) ** 2 + (ys[k]! - y) ** 2;
          if (square < bestSquare) {
            bestSquare = square;
            best = k;
          }
        }
      }
    }
    return best;
  };
  const starOf = frames.map(({ stars, transform: { a, b, tx, ty } }) => {
    const numbers = new Int32Array(stars.count).fill(-1);
    const used = new Set<number>();
    for (let i = 0; i < stars.count; i++) {
      const x = a * stars.x[i]! - b * stars.y[i]! + tx;
      const y = b * stars.x[i]! + a * stars.y[i]! + ty;
      let k = find(x, y);
      if (k < 0) {
        k = xs.length;
        xs.push(x);
        ys.push(y);
        const cell = cellOf(x, y);
        const list = cells.get(cell);
        if (list) list.push(k);
        else cells.set(cell, [k]);
      }
      if (used.has(k)) continue;
      used.add(k);
      numbers[i] = k;
    }
    return numbers;
  });
  return { count: xs.length, x: Float64Array.from(xs), y: Float64Array.from(ys), starOf };
}
