import type { StarTable } from '../stars/types.js';

/**
 * Indices of the stars fit for field figures: no flag set, and position, width, shape and moments all finite.
 * Empty when nothing qualifies.
 */
export function goodStars(table: StarTable): number[] {
  const good: number[] = [];
  for (let i = 0; i < table.count; i++) {
    if (table.flags[i] !== 0) continue;
    // A sum is finite where all of its terms are.
    const sum =
      table.x[i]! +
      table.y[i]! +
      table.fwhm[i]! +
      table.e1[i]! +
      table.e2[i]! +
      table.mxx[i]! +
      table.mxy[i]! +
      table.myy[i]!;
    if (Number.isFinite(sum) && table.fwhm[i]! > 0) good.push(i);
  }
  return good;
}
