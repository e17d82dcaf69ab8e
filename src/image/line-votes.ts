import { residentPixels } from '../kernels/index.js';
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
/** More lit blocks than this part of all say nothing: the limit rises. */
const MOST_LIT = 0.12;
const HIGHEST_LIMIT = 50;

/**
 * Lines on which most lit blocks lie, most votes first, at most `most` (Hough transform in the normal form of Duda & Hart 1972).
 *
 * Lit are blocks above `limit` (in the signal's units of noise); the limit rises by half as long as an eighth of them are. Votes are weighed against what the frame's overall
 * density of lit blocks puts on a line of that length, so that crowded fields do not fill the list with diagonals.
 */
export function votedLines(signal: CoarseSignal, limit: number, most: number): Line[] {
  const { columns, rows, values } = signal;
  const { kernels, address, workArea } = residentPixels(values);
  const area = workArea();
  const reach = Math.ceil(Math.hypot(columns, rows));
  const width = 2 * reach + 1;
  let above = limit;
  let lit = kernels.countAbove(address, values.length, above);
  while (lit >= MOST_LIT * values.length && above <= HIGHEST_LIMIT) {
    above *= 1.5;
    lit = kernels.countAbove(address, values.length, above);
  }
  const every = Math.max(1, Math.ceil(lit / MOST_VOTERS));
  const xs = area.floats(lit / every + 1);
  const ys = area.floats(lit / every + 1);
  // Whole vectors vote.
  const count = kernels.placesAbove(address, columns, rows, above, every, xs.address, ys.address) & ~3;
  const density = count / Math.max(1, values.length);
  const votes = area.bytes(2 * width + 16);
  const scores = Array.from({ length: ANGLES }, () => area.floats(width + 7));
  /** Highest score of each angle. */
  const best = scores.map(({ address: scoresAt }, a) => {
    const theta = (a * Math.PI) / ANGLES;
    const [c, s] = [Math.cos(theta), Math.sin(theta)];
    return kernels.lineScores(
      xs.address,
      ys.address,
      count,
      c,
      s,
      reach,
      columns,
      rows,
      density,
      LEAST_VOTES,
      votes.address,
      scoresAt,
    );
  });
  const lines: Line[] = [];
  while (lines.length < most) {
    const top = Math.max(...best);
    if (!(top > BY_CHANCE)) break;
    const a = best.indexOf(top);
    const r = scores[a].view.indexOf(top);
    lines.push({ theta: (a * Math.PI) / ANGLES, rho: r - reach });
    // The same line fills the bins around it.
    for (let da = -4; da <= 4; da += 1) {
      const angle = (a + da + ANGLES) % ANGLES;
      const isFlipped = a + da < 0 || a + da >= ANGLES;
      const centre = isFlipped ? width - 1 - r : r;
      const { view } = scores[angle];
      view.fill(0, Math.max(0, centre - 8), Math.max(0, centre + 9));
      best[angle] = view.subarray(0, width).reduce((x, y) => Math.max(x, y), 0);
    }
  }
  return lines;
}
