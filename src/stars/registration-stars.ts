import { StarFlag, type StarTable } from './types.js';

const UNFIT = StarFlag.TooSharp | StarFlag.MomentsFailed | StarFlag.Edge | StarFlag.Extended;

/**
 * Stars by which frames are laid over each other and their fluxes compared: x, y (FITS pixels), flux (ADU), interleaved, brightest first, at most `most` stars.
 *
 * Mildly flagged stars stay in (faint or blended ones have good centres); hot pixels, cosmic rays, galaxies and stars cut by the border do not.
 * Clipped stars come after the sound ones: their centres hold, their fluxes do not.
 */
export function selectRegistrationStars(table: StarTable, most = 300): number[] {
  const sound: number[] = [];
  const clipped: number[] = [];
  for (let k = 0; k < table.count; k += 1) {
    if (table.flags[k] & UNFIT || !(table.flux[k] > 0) || !Number.isFinite(table.x[k])) continue;
    (table.flags[k] & StarFlag.Saturated ? clipped : sound).push(k);
  }
  const chosen = [...sound, ...clipped].slice(0, most).sort((a, b) => table.flux[b] - table.flux[a]);
  return chosen.flatMap((k) => [table.x[k], table.y[k], table.flux[k]]);
}
