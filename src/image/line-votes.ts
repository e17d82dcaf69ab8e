import type { CoarseSignal } from './coarse-signal.js';

/** A straight line x cos(theta) + y sin(theta) = rho in block coordinates. */
export interface Line {
  readonly theta: number;
  readonly rho: number;
}

const ANGLES = 180;
/** Lit blocks that vote; of more, an even part does. */
const MOST_VOTERS = 8000;
/** Standard deviations above chance that a line needs. */
const BY_CHANCE = 7;

/**
 * Lines on which most lit blocks lie, most votes first, at most `most` (Hough transform in the normal form of Duda & Hart 1972).
 *
 * Votes are weighed against what the frame's overall density of lit blocks puts on a line of that length, so that crowded fields do not fill the list with diagonals.
 * `isLit`: 1 per lit block.
 */
export function votedLines(signal: CoarseSignal, isLit: Uint8Array, most: number): Line[] {
  const { columns, rows } = signal;
  const reach = Math.ceil(Math.hypot(columns, rows));
  const width = 2 * reach + 1;
  const votes = new Float32Array(ANGLES * width);
  const area = new Float32Array(ANGLES * width);
  const cos = Float64Array.from({ length: ANGLES }, (_, a) => Math.cos((a * Math.PI) / ANGLES));
  const sin = Float64Array.from({ length: ANGLES }, (_, a) => Math.sin((a * Math.PI) / ANGLES));
  let lit = 0;
  for (let k = 0; k < isLit.length; k += 1) lit += isLit[k];
  const every = Math.max(1, Math.ceil(lit / MOST_VOTERS));
  let turn = 0;
  for (let k = 0; k < isLit.length; k += 1) {
    if (!isLit[k] || (turn += 1) % every !== 0) continue;
    const x = k % columns;
    const y = (k - x) / columns;
    for (let a = 0; a < ANGLES; a += 1) votes[a * width + Math.round(x * cos[a] + y * sin[a]) + reach] += 1;
  }
  // Length of each line inside the frame, from a thinned grid of all blocks.
  const thin = 8;
  for (let y = 0; y < rows; y += thin) {
    for (let x = 0; x < columns; x += thin) {
      for (let a = 0; a < ANGLES; a += 1) area[a * width + Math.round(x * cos[a] + y * sin[a]) + reach] += 1;
    }
  }
  const density = lit / every / isLit.length;
  const score = new Float32Array(votes.length);
  for (let a = 0; a < ANGLES; a += 1) {
    for (let r = 2; r < width - 2; r += 1) {
      const k = a * width + r;
      if (votes[k] < 8) continue;
      const blocks = ((area[k - 2] + area[k - 1] + area[k] + area[k + 1] + area[k + 2]) / 5) * thin * thin;
      const expected = density * blocks;
      score[k] = (votes[k] - expected) / Math.sqrt(expected + 4);
    }
  }
  const lines: Line[] = [];
  for (let n = 0; n < most; n += 1) {
    let best = -1;
    for (let k = 0; k < score.length; k += 1)
      if (score[k] > BY_CHANCE && (best < 0 || score[k] > score[best])) best = k;
    if (best < 0) break;
    const a = Math.floor(best / width);
    const r = best - a * width;
    lines.push({ theta: (a * Math.PI) / ANGLES, rho: r - reach });
    // The same line fills the bins around it.
    for (let da = -4; da <= 4; da += 1) {
      const angle = (a + da + ANGLES) % ANGLES;
      const flipped = a + da < 0 || a + da >= ANGLES;
      const centre = flipped ? width - 1 - r : r;
      for (let dr = -8; dr <= 8; dr += 1) {
        const k = angle * width + centre + dr;
        if (centre + dr >= 0 && centre + dr < width) score[k] = 0;
      }
    }
  }
  return lines;
}
