import { medianInPlace } from '../stats/index.js';
import type { CoarseSignal } from './coarse-signal.js';
import { bilinear, lineContrast, type LineContrast } from './line-contrast.js';
import { votedLines, type Line } from './line-votes.js';
import { longestLitRun, type LitRun } from './lit-run.js';
import type { Streak } from './types.js';

/** Blocks this many sd above the sky vote for lines. */
const LIT = 2.5;
/** A streak is at least this part of the frame's short side long, and this many blocks. */
const SHORTEST_PART = 0.3;
const SHORTEST_BLOCKS = 40;
const FILLED = 0.8;
const WIDEST_BLOCKS = 6;
const EVENNESS = 0.35;
const MOST_LINES = 12;

/**
 * Straight trails of light across the frame: satellites, aircraft. Empty when there is none.
 *
 * Lines voted for by lit blocks must be lit almost without gaps over three tenths of the frame's short side or more. Left out: what follows a row or column of the sensor
 * (bleeding, hot columns), what fades away from a bright centre (diffraction spikes), and the short trails of badly tracked stars. What is found is blotted out of `signal`.
 */
export function findStreaks(signal: CoarseSignal): Streak[] {
  const { bin } = signal;
  const shortest = Math.max(SHORTEST_BLOCKS, SHORTEST_PART * Math.min(signal.columns, signal.rows));
  const streaks: Streak[] = [];
  for (const voted of votedLines(signal, LIT, MOST_LINES)) {
    const line = refineLine(signal, voted);
    const walk = lineContrast(signal, line);
    const run = longestLitRun(walk.contrast, 1);
    if (run === null || run.last - run.first < shortest || run.filled < FILLED) continue;
    const streak = describe(signal, line, walk, run);
    const isTrail =
      !followsSensor(line, run) &&
      !fadesFromCentre(walk, run) &&
      !isChain(walk, run) &&
      streak.widthPx <= WIDEST_BLOCKS * bin;
    if (isTrail) streaks.push(streak);
    // Trail or not, this light is explained: what is left beside it must stand alone.
    erase(signal, line, walk, run, streak.widthPx / bin);
  }
  return streaks;
}

/** Turn and shift a voted line within a degree and two blocks to where most light lies on it. */
function refineLine(signal: CoarseSignal, start: Line): Line {
  let best = start;
  let bestScore = -Infinity;
  for (const [turn, shift] of [
    [0.3, 0.6],
    [0.08, 0.25],
  ]) {
    const from = best;
    for (let i = -4; i <= 4; i += 1) {
      for (let j = -4; j <= 4; j += 1) {
        // Turning about the middle of the frame: about the origin a small turn would move the far end away.
        const theta = from.theta + (i * turn * Math.PI) / 180;
        const cx = signal.columns / 2;
        const cy = signal.rows / 2;
        const offset = from.rho - cx * Math.cos(from.theta) - cy * Math.sin(from.theta);
        const rho = offset + j * shift + cx * Math.cos(theta) + cy * Math.sin(theta);
        const score = clippedSum(signal, { theta, rho });
        if (score > bestScore) {
          bestScore = score;
          best = { theta, rho };
        }
      }
    }
  }
  return best;
}

/** Light on the line, no block counting more than a few sd: a trail wins over single stars. */
function clippedSum(signal: CoarseSignal, { theta, rho }: Line): number {
  const c = Math.cos(theta);
  const s = Math.sin(theta);
  const reach = Math.hypot(signal.columns, signal.rows);
  let sum = 0;
  for (let t = -reach; t <= reach; t += 1) {
    const v = bilinear(signal, rho * c - t * s, rho * s + t * c);
    if (v > 0) sum += Math.min(v, 6);
  }
  return sum;
}

/** Within a third of a degree, and a block, of one sensor row or column over the whole run. */
function followsSensor({ theta }: Line, run: LitRun): boolean {
  const length = run.last - run.first;
  return Math.min(Math.abs(Math.sin(theta)), Math.abs(Math.cos(theta))) * length < 1.5 + 0.006 * length;
}

/** Ends much fainter than the part around the brightest stretch: light spreading out from a star. */
function fadesFromCentre({ contrast }: LineContrast, run: LitRun): boolean {
  const parts = 8;
  const length = (run.last - run.first + 1) / parts;
  const levels = Array.from({ length: parts }, (_, p) =>
    medianInPlace(
      contrast.slice(run.first + Math.floor(p * length), run.first + Math.floor((p + 1) * length)),
    ),
  );
  const brightest = levels.indexOf(Math.max(...levels));
  const ends = Math.max(levels[0], levels[parts - 1]);
  return brightest > 0 && brightest < parts - 1 && ends < 0.35 * levels[brightest];
}

/** Uneven along its length: a chain of stars. A trail is about as bright everywhere. */
function isChain({ contrast }: LineContrast, run: LitRun): boolean {
  const values = contrast.slice(run.first, run.last + 1).sort();
  return values[Math.floor(0.2 * values.length)] < EVENNESS * values[values.length >> 1];
}

function describe(signal: CoarseSignal, { theta, rho }: Line, walk: LineContrast, run: LitRun): Streak {
  const { bin } = signal;
  const toPixel = (block: number): number => (block + 0.5) * bin + 0.5;
  const x1 = toPixel(walk.x[run.first]);
  const y1 = toPixel(walk.y[run.first]);
  const x2 = toPixel(walk.x[run.last]);
  const y2 = toPixel(walk.y[run.last]);
  const angle = (Math.atan2(y2 - y1, x2 - x1) * 180) / Math.PI;
  return {
    x1,
    y1,
    x2,
    y2,
    lengthPx: Math.hypot(x2 - x1, y2 - y1),
    angleDeg: (angle + 360) % 180,
    widthPx: bin * crossWidth(signal, { theta, rho }, walk, run),
  };
}

/** Full width at half maximum of the median cross section, blocks. */
function crossWidth(signal: CoarseSignal, { theta }: Line, walk: LineContrast, run: LitRun): number {
  const c = Math.cos(theta);
  const s = Math.sin(theta);
  const section: number[] = [];
  for (let d = -6; d <= 6; d += 0.5) {
    const values: number[] = [];
    for (let k = run.first; k <= run.last; k += 1) {
      const v = bilinear(signal, walk.x[k] + d * c, walk.y[k] + d * s);
      if (!Number.isNaN(v)) values.push(v);
    }
    section.push(medianInPlace(values));
  }
  const floor = (section[0] + section[section.length - 1]) / 2;
  const top = Math.max(...section) - floor;
  return Math.max(1, section.filter((v) => v - floor > top / 2).length * 0.5);
}

/** Blots out a streak that has been found, with its flanks. */
function erase(
  signal: CoarseSignal,
  { theta }: Line,
  walk: LineContrast,
  run: LitRun,
  widthBlocks: number,
): void {
  const c = Math.cos(theta);
  const s = Math.sin(theta);
  const reach = widthBlocks + 2;
  for (let k = run.first; k <= run.last; k += 1) {
    for (let d = -reach; d <= reach; d += 0.5) {
      const i = Math.round(walk.x[k] + d * c);
      const j = Math.round(walk.y[k] + d * s);
      if (i >= 0 && j >= 0 && i < signal.columns && j < signal.rows)
        signal.values[j * signal.columns + i] = 0;
    }
  }
}
