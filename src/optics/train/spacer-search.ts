import type { TrainPart } from './train-file.js';
import { judgeJoint } from './train-threads.js';
import type { JointEnd } from './train-threads.js';

/** A set of pieces that closes a gap, in the order from telescope to camera. */
export interface SpacerChoice {
  readonly pieces: readonly {
    readonly part: TrainPart;
    readonly reversed: boolean;
    readonly lengthMm: number;
  }[];
  readonly totalMm: number;
  /** totalMm minus what was asked for. */
  readonly missMm: number;
  /** Pieces that bring a joint of their own (shims do not). */
  readonly joints: number;
  readonly shims: number;
  /** Clamped joints (barrels, draw tubes) in the gap. */
  readonly clamped: number;
  /** True when a joint could not be checked because the file does not give it. */
  readonly unchecked: boolean;
}

/** What a search looks for. */
export interface SpacerQuestion {
  /** Length to fill, mm, and how far off is allowed. */
  readonly lengthMm: number;
  readonly toleranceMm: number;
  /** Ends of the gap: rear end of the part before it, front end of the part behind it; null = not given. */
  readonly before: JointEnd | null;
  readonly behind: JointEnd | null;
  readonly box: readonly TrainPart[];
  /** Most pieces with joints (default 5) and most shims (default 3). */
  readonly maxPieces?: number;
  readonly maxShims?: number;
  /** Choices returned (default 6). */
  readonly limit?: number;
}

/** The best choices, and, when none is within tolerance, the nearest one. */
export interface SpacerAnswer {
  readonly choices: readonly SpacerChoice[];
  readonly nearest: SpacerChoice | null;
  /** Sets of pieces looked at; the search is exact within maxPieces and maxShims unless `complete` is false. */
  readonly tried: number;
  readonly complete: boolean;
}

const MICRON = 1000;
/** More sets than any box of a hobbyist has: keeps a hostile file from running for ever. */
const MOST_SETS = 2_000_000;

interface Stock {
  readonly part: TrainPart;
  readonly count: number;
  readonly minUm: number;
  readonly maxUm: number;
}

/**
 * Find the sets of spacers and shims that fill a gap within tolerance, by going through all of them.
 *
 * Order of preference: fewest joints, fewest clamped joints (threads hold squarer than clamped tubes: common practice, no
 * source), fewest shims, smallest miss. Every set is put in an order in which its threads fit, pieces turned round where needed;
 * sets that cannot be joined are left out. Lengths are compared as whole micrometres.
 *
 * A length that is negative has no answer; one within tolerance of zero may be met with nothing in the gap.
 */
export function searchSpacers(question: SpacerQuestion): SpacerAnswer {
  const { maxPieces = 5, maxShims = 3, limit = 6 } = question;
  const wantUm = Math.round(question.lengthMm * MICRON);
  const slackUm = Math.floor(question.toleranceMm * MICRON + 1e-6);
  const solids = stock(question.box.filter((part) => part.kind !== 'shim'));
  const shims = stock(question.box.filter((part) => part.kind === 'shim'));
  const shimSets = multisets(shims, maxShims);
  const found: SpacerChoice[] = [];
  let nearest: SpacerChoice | null = null;
  let tried = 0;
  let complete = true;

  const consider = (chosen: readonly Stock[]): void => {
    const low = chosen.reduce((sum, s) => sum + s.minUm, 0);
    const high = chosen.reduce((sum, s) => sum + s.maxUm, 0);
    let order: readonly Placed[] | null | undefined;
    for (const set of shimSets) {
      tried += 1;
      const shimUm = set.reduce((sum, s) => sum + s.minUm, 0);
      const sumUm = Math.min(Math.max(wantUm - shimUm, low), high) + shimUm;
      const missUm = sumUm - wantUm;
      const within = Math.abs(missUm) <= slackUm;
      if (!within && nearest !== null && Math.abs(missUm) >= Math.abs(nearest.missMm * MICRON)) continue;
      order ??= joinable(chosen, question.before, question.behind);
      if (order === null) return;
      const choice = describe(order, set, sumUm - shimUm, missUm, question);
      if (within) found.push(choice);
      if (nearest === null || Math.abs(missUm) < Math.abs(nearest.missMm * MICRON)) nearest = choice;
    }
  };

  // Fewest joints first: stop once enough sets of a size are there, since larger ones only rank behind.
  for (let size = 0; size <= maxPieces && complete; size += 1) {
    forEachMultiset(solids, size, wantUm + slackUm, (chosen) => {
      if (tried > MOST_SETS) complete = false;
      else consider(chosen);
      return complete;
    });
    if (found.length >= limit) break;
  }
  found.sort(
    (a, b) =>
      a.joints - b.joints ||
      a.clamped - b.clamped ||
      a.shims - b.shims ||
      Math.abs(a.missMm) - Math.abs(b.missMm),
  );
  return { choices: found.slice(0, limit), nearest, tried, complete };
}

function stock(parts: readonly TrainPart[]): Stock[] {
  // Alike pieces are one entry, so that no set is met twice.
  const byKind = new Map<string, Stock>();
  for (const part of parts) {
    const [min, max] = part.rangeMm ?? [part.lengthMm, part.lengthMm];
    const key = JSON.stringify([part.lengthMm, part.rangeMm, part.front, part.rear, part.kind, part.glass]);
    const known = byKind.get(key);
    byKind.set(key, {
      part: known?.part ?? part,
      count: (known?.count ?? 0) + part.count,
      minUm: Math.round(min * MICRON),
      maxUm: Math.round(max * MICRON),
    });
  }
  return [...byKind.values()];
}

/** All sets of 0 to `most` pieces. */
function multisets(stocks: readonly Stock[], most: number): Stock[][] {
  const all: Stock[][] = [];
  for (let size = 0; size <= most; size += 1) {
    forEachMultiset(stocks, size, Infinity, (chosen) => {
      all.push([...chosen]);
      return all.length < 5000;
    });
  }
  return all;
}

/** Call `visit` with every set of exactly `size` pieces whose shortest length does not pass `ceilingUm`, until it answers false. */
function forEachMultiset(
  stocks: readonly Stock[],
  size: number,
  ceilingUm: number,
  visit: (chosen: readonly Stock[]) => boolean,
): void {
  const chosen: Stock[] = [];
  const step = (from: number, used: number, sumUm: number): boolean => {
    if (chosen.length === size) return visit(chosen);
    for (let i = from; i < stocks.length; i += 1) {
      const next = stocks[i]!;
      const already = i === from ? used : 0;
      if (already >= next.count || sumUm + next.minUm > ceilingUm) continue;
      chosen.push(next);
      const goOn = step(i, already + 1, sumUm + next.minUm);
      chosen.pop();
      if (!goOn) return false;
    }
    return true;
  };
  step(0, 0, 0);
}

interface Placed {
  readonly stock: Stock;
  readonly reversed: boolean;
  readonly clamped: boolean;
  readonly unchecked: boolean;
}

/** An order (and turning) of the pieces in which every joint fits, fewest clamped joints first found; null when there is none. */
function joinable(
  chosen: readonly Stock[],
  before: JointEnd | null,
  behind: JointEnd | null,
): Placed[] | null {
  const left = [...chosen];
  const placed: Placed[] = [];
  const step = (end: JointEnd | null): boolean => {
    if (left.length === 0) return chosen.length === 0 ? meets(before, behind) : meets(end, behind);
    const seen = new Set<Stock>();
    for (let i = 0; i < left.length; i += 1) {
      const stockItem = left[i]!;
      if (seen.has(stockItem)) continue;
      seen.add(stockItem);
      for (const reversed of [false, true]) {
        const { front, rear } = stockItem.part;
        const [near, far] = reversed ? [rear, front] : [front, rear];
        const verdict = judgeJoint(end, near);
        if (verdict.fits === 'no') continue;
        left.splice(i, 1);
        placed.push({
          stock: stockItem,
          reversed,
          clamped: verdict.clamped,
          unchecked: verdict.fits === 'unknown',
        });
        if (step(far)) return true;
        placed.pop();
        left.splice(i, 0, stockItem);
      }
    }
    return false;
  };
  return step(before) ? placed : null;
}

function meets(end: JointEnd | null, behind: JointEnd | null): boolean {
  return judgeJoint(end, behind).fits !== 'no';
}

function describe(
  order: readonly Placed[],
  shims: readonly Stock[],
  solidsUm: number,
  missUm: number,
  question: SpacerQuestion,
): SpacerChoice {
  const fixedUm = order.reduce((sum, p) => sum + p.stock.minUm, 0);
  let spareUm = solidsUm - fixedUm;
  const solids = order.map(({ stock: s, reversed }) => {
    const stretch = Math.min(spareUm, s.maxUm - s.minUm);
    spareUm -= stretch;
    return { part: s.part, reversed, lengthMm: (s.minUm + stretch) / MICRON };
  });
  const last = order.at(-1);
  const lastEnd = last ? (last.reversed ? last.stock.part.front : last.stock.part.rear) : question.before;
  const closing = judgeJoint(lastEnd, question.behind);
  const shimPieces = shims.map((s) => ({ part: s.part, reversed: false, lengthMm: s.minUm / MICRON }));
  return {
    pieces: [...solids, ...shimPieces],
    totalMm:
      [...solids, ...shimPieces].reduce((sum, piece) => sum + Math.round(piece.lengthMm * MICRON), 0) /
      MICRON,
    missMm: missUm / MICRON,
    joints: order.length,
    shims: shims.length,
    clamped:
      order.filter((p) => p.clamped || p.stock.part.kind === 'draw-tube').length +
      (closing.clamped && order.length > 0 ? 1 : 0),
    unchecked: order.some((p) => p.unchecked) || closing.fits === 'unknown',
  };
}
