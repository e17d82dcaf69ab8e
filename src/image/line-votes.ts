import type { CoarseSignal } from './coarse-signal.js';

/** A straight line x cos(theta) + y sin(theta) = rho in block coordinates. */
export interface Line {
  readonly theta: number;
  readonly rho: number;
}

const ANGLES = 180;
/** A line with fewer is none, whatever chance says. */
const LEAST_VOTES = 8;
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
  const { x, y, lit } = chooseVoters(isLit, columns);
  const density = lit === 0 ? 0 : x.length / isLit.length;
  const score = new Float32Array(ANGLES * width);
  const votes = new Uint16Array(width);
  // One angle after the other: its votes stay in the processor's cache.
  for (let a = 0; a < ANGLES; a += 1) {
    const theta = (a * Math.PI) / ANGLES;
    const c = Math.cos(theta);
    const s = Math.sin(theta);
    votes.fill(0);
    // Half a block more, cut to whole numbers, is the nearest one: the sum is above zero.
    for (let k = 0; k < x.length; k += 1) votes[(x[k] * c + y[k] * s + reach + 0.5) | 0] += 1;
    for (let r = 0; r < width; r += 1) {
      if (votes[r] < LEAST_VOTES) continue;
      const expected = density * lengthInside(c, s, r - reach, columns, rows);
      score[a * width + r] = (votes[r] - expected) / Math.sqrt(expected + 4);
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

/** Positions of the blocks that vote, an even part of those lit, and how many are. */
function chooseVoters(
  isLit: Uint8Array,
  columns: number,
): { readonly x: Float64Array; readonly y: Float64Array; readonly lit: number } {
  let lit = 0;
  for (let k = 0; k < isLit.length; k += 1) lit += isLit[k];
  const every = Math.max(1, Math.ceil(lit / MOST_VOTERS));
  const count = Math.floor(lit / every);
  const x = new Float64Array(count);
  const y = new Float64Array(count);
  let turn = 0;
  let n = 0;
  for (let k = 0; k < isLit.length && n < count; k += 1) {
    if (!isLit[k] || (turn += 1) % every !== 0) continue;
    x[n] = k % columns;
    y[n] = Math.floor(k / columns);
    n += 1;
  }
  return { x, y, lit };
}

/** Length of the line x c + y s = rho inside the frame of blocks: points (rho c - t s, rho s + t c) with t in both sides' ranges. */
function lengthInside(c: number, s: number, rho: number, columns: number, rows: number): number {
  // A direction along a side stays within it, or without, for all t.
  const along = Math.abs(s) < 1e-9 ? 1e-9 : s;
  const up = Math.abs(c) < 1e-9 ? 1e-9 : c;
  const left = (rho * c + 0.5) / along;
  const right = (rho * c + 0.5 - columns) / along;
  const bottom = (-0.5 - rho * s) / up;
  const top = (rows - 0.5 - rho * s) / up;
  const from = Math.max(Math.min(left, right), Math.min(bottom, top));
  const to = Math.min(Math.max(left, right), Math.max(bottom, top));
  return Math.max(0, to - from);
}
