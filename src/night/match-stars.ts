import { nearestPoint } from './point-grid.js';
import { fitSimilarity, type Similarity } from './similarity.js';
import { brightestPairs, pairsByLength, type StarPairs } from './star-pairs.js';
import type { StarPositions } from './star-positions.js';

/** Result of a match: where the frame lies on the reference, and which star is which. */
export interface StarMatch {
  /** Maps frame pixels on reference pixels. */
  readonly transform: Similarity;
  /** For each star of the frame the index of its partner in the reference, or -1. */
  readonly partner: Int32Array;
  readonly matched: number;
  readonly rmsPx: number;
}

/** A match by chance must be less likely than this, over all trials made. */
const maxFalseMatch = 1e-3;
const minMatched = 4;
/** A trial is scored by so many of the frame's brightest stars. */
const scoredStars = 60;
/** A trial is dropped when the first stars of the frame that fall on the reference show no more coincidences than chance gives. */
const earlyLook = { stars: 20, hits: 4 };

/** One way to search: how many of the brightest stars are paired, and how far scale and flux ratio of a pair may differ. */
interface Search {
  readonly frameStars: number;
  readonly referenceStars: number;
  /** Leave out stars that shine brighter than any of the other list: they are clipped there. */
  readonly levelBrightness: boolean;
  readonly scaleChange: number;
  readonly fluxFactor: number;
}

/**
 * Tried one after the other, from the usual case (same filter and focus) to the odd ones: another filter or spacing (colours and scale change), then
 * very different exposures, whose brightest usable stars are not the same.
 */
const searches: readonly Search[] = [
  { frameStars: 40, referenceStars: 60, levelBrightness: false, scaleChange: 0.005, fluxFactor: 2 },
  { frameStars: 25, referenceStars: 40, levelBrightness: false, scaleChange: 0.05, fluxFactor: 4 },
  { frameStars: 40, referenceStars: 60, levelBrightness: true, scaleChange: 0.005, fluxFactor: 2 },
];
/** Margin for what cloud and noise do to the brightest stars when brightness is levelled. */
const levelMargin = 1.1;

/**
 * Finds the similarity transform (any shift and rotation, scale within 5 %) that lays the stars of a frame on those of a reference.
 *
 * Every pair of bright stars of the frame is laid on every pair of the reference of like length and flux ratio (the shortest
 * asterism that fixes a similarity; needs only two common bright stars, so it survives clouds, dithers and turned fields); a trial
 * is scored by how unlikely its number of coincidences is by chance (Chernoff bound of the binomial tail), the best one is refined
 * with all stars. Returns null when no trial beats chance: other field, too few stars (at least four must agree), or nothing there.
 */
export function matchStars(frame: StarPositions, reference: StarPositions): StarMatch | null {
  return matcherOn(reference)(frame);
}

/** `matchStars` for many frames on one reference: what is asked of the reference is worked out once. */
export function matcherOn(reference: StarPositions): (frame: StarPositions) => StarMatch | null {
  const known = new Map<string, StarPairs>();
  const referencePairs = (from: number, most: number): StarPairs => {
    const key = `${from} ${most}`;
    const pairs = known.get(key) ?? pairsByLength(brightestPairs(reference, from, most));
    known.set(key, pairs);
    return pairs;
  };
  return (frame) => {
    if (frame.count < minMatched || reference.count < minMatched) return null;
    for (const search of searches) {
      const match = bestTrial(frame, reference, referencePairs, search);
      if (match) return match;
    }
    return null;
  };
}

function bestTrial(
  frame: StarPositions,
  reference: StarPositions,
  referencePairs: (from: number, most: number) => StarPairs,
  search: Search,
): StarMatch | null {
  const firstOfFrame = search.levelBrightness ? firstBelow(frame, reference) : 0;
  const firstOfReference = search.levelBrightness ? firstBelow(reference, frame) : 0;
  if (search.levelBrightness && firstOfFrame === 0 && firstOfReference === 0) return null;
  const mine = brightestPairs(frame, firstOfFrame, search.frameStars);
  const theirs = referencePairs(firstOfReference, search.referenceStars);
  if (mine.count === 0 || theirs.count === 0) return null;
  const beyondDoubt = Math.log(maxFalseMatch) - Math.log(mine.count * theirs.count) - 12;
  const maxLogRatio = Math.log(search.fluxFactor);

  let trials = 0;
  let bestLog = 0;
  let best: Similarity | null = null;
  for (let pair = 0; pair < mine.count; pair++) {
    const length = mine.lengthPx[pair]!;
    const limit = length * (1 + search.scaleChange);
    for (
      let k = lowerBound(theirs.lengthPx, length * (1 - search.scaleChange));
      k < theirs.count && theirs.lengthPx[k]! <= limit;
      k++
    ) {
      for (let turned = 0; turned < 2; turned++) {
        const disagreement =
          mine.logRatio[pair]! - (turned === 0 ? theirs.logRatio[k]! : -theirs.logRatio[k]!);
        if (Math.abs(disagreement) > maxLogRatio) continue;
        const p = turned === 0 ? theirs.i[k]! : theirs.j[k]!;
        const q = turned === 0 ? theirs.j[k]! : theirs.i[k]!;
        const trial = pairTransform(frame, mine.i[pair]!, mine.j[pair]!, reference, p, q);
        trials++;
        const log = trialLogChance(trial, frame, reference, firstOfFrame);
        if (log >= bestLog) continue;
        bestLog = log;
        best = trial;
        // Spare the remaining trials.
        if (log < beyondDoubt) {
          const match = refine(trial, frame, reference);
          if (match && match.matched >= 0.4 * Math.min(frame.count, reference.count)) return match;
        }
      }
    }
  }
  return best && bestLog < Math.log(maxFalseMatch / trials) ? refine(best, frame, reference) : null;
}

/** Rank of the first star that is not brighter than every star of the other list. */
function firstBelow(stars: StarPositions, other: StarPositions): number {
  const brightest = (other.flux[0]! / other.seconds) * levelMargin;
  const first = stars.flux.findIndex((flux) => flux / stars.seconds <= brightest);
  return Math.max(0, first);
}

function lowerBound(sorted: Float64Array, value: number): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (sorted[middle]! < value) low = middle + 1;
    else high = middle;
  }
  return low;
}

function pairTransform(
  frame: StarPositions,
  i: number,
  j: number,
  reference: StarPositions,
  p: number,
  q: number,
): Similarity {
  const dx = frame.x[j]! - frame.x[i]!;
  const dy = frame.y[j]! - frame.y[i]!;
  const dX = reference.x[q]! - reference.x[p]!;
  const dY = reference.y[q]! - reference.y[p]!;
  const norm = dx * dx + dy * dy;
  const a = (dx * dX + dy * dY) / norm;
  const b = (dx * dY - dy * dX) / norm;
  return {
    a,
    b,
    tx: reference.x[p]! - (a * frame.x[i]! - b * frame.y[i]!),
    ty: reference.y[p]! - (b * frame.x[i]! + a * frame.y[i]!),
  };
}

/** Logarithm of the chance of as many coincidences among the frame's brightest stars; 0 when there are not enough. */
function trialLogChance(
  { a, b, tx, ty }: Similarity,
  frame: StarPositions,
  reference: StarPositions,
  first: number,
): number {
  const end = Math.min(frame.count, first + scoredStars);
  let tested = 0;
  let hits = 0;
  for (let i = first; i < end; i++) {
    const x = a * frame.x[i]! - b * frame.y[i]! + tx;
    const y = b * frame.x[i]! + a * frame.y[i]! + ty;
    if (x < 0.5 || y < 0.5 || x > reference.widthPx + 0.5 || y > reference.heightPx + 0.5) continue;
    tested++;
    if (nearestPoint(reference.grid, x, y, reference.tolerancePx) >= 0) hits++;
    if (tested === earlyLook.stars && hits < earlyLook.hits) return 0;
  }
  // The two stars of the pair coincide by construction.
  return hits < minMatched ? 0 : logBinomialTail(hits - 2, tested - 2, reference.chance);
}

/** Chernoff bound on the logarithm of P(at least k of n) at chance p each. */
function logBinomialTail(k: number, n: number, p: number): number {
  const f = k / n;
  if (f <= p) return 0;
  const misses = f < 1 ? (1 - f) * Math.log((1 - f) / (1 - p)) : 0;
  return -n * (f * Math.log(f / p) + misses);
}

/** Lets all stars improve a trial: match, fit, tighten. Null when fewer than four stars agree in the end. */
function refine(trial: Similarity, frame: StarPositions, reference: StarPositions): StarMatch | null {
  let transform = trial;
  let tolerancePx = reference.tolerancePx;
  let partner = partners(transform, frame, reference, tolerancePx);
  let rmsPx = Infinity;
  for (let pass = 0; pass < 6; pass++) {
    const fitted = fitSimilarity(frame.x, frame.y, reference.x, reference.y, partner);
    if (!fitted) return null;
    transform = fitted;
    rmsPx = robustRms(transform, frame, reference, partner);
    tolerancePx = Math.min(reference.tolerancePx, Math.max(1, 4 * rmsPx));
    const next = partners(transform, frame, reference, tolerancePx);
    // The same pairs would give the same fit again.
    const settled = next.every((j, i) => j === partner[i]);
    partner = next;
    if (settled) break;
  }
  const matched = partner.reduce((sum, j) => sum + (j >= 0 ? 1 : 0), 0);
  return matched < minMatched ? null : { transform, partner, matched, rmsPx };
}

/** Mutual nearest neighbours within the tolerance. */
function partners(
  { a, b, tx, ty }: Similarity,
  frame: StarPositions,
  reference: StarPositions,
  tolerancePx: number,
): Int32Array {
  const partner = new Int32Array(frame.count).fill(-1);
  const taken = new Int32Array(reference.count).fill(-1);
  const square = new Float64Array(frame.count);
  for (let i = 0; i < frame.count; i++) {
    const x = a * frame.x[i]! - b * frame.y[i]! + tx;
    const y = b * frame.x[i]! + a * frame.y[i]! + ty;
    const j = nearestPoint(reference.grid, x, y, tolerancePx);
    if (j < 0) continue;
    square[i] = (reference.x[j]! - x) ** 2 + (reference.y[j]! - y) ** 2;
    const rival = taken[j]!;
    if (rival >= 0 && square[rival]! <= square[i]!) continue;
    if (rival >= 0) partner[rival] = -1;
    partner[i] = j;
    taken[j] = i;
  }
  return partner;
}

/** Rms distance of the pairs (two coordinates together) from the median, so that a few wrong pairs do not count. */
function robustRms(
  { a, b, tx, ty }: Similarity,
  frame: StarPositions,
  reference: StarPositions,
  partner: Int32Array,
): number {
  const squares = new Float64Array(frame.count);
  let count = 0;
  for (let i = 0; i < frame.count; i++) {
    const j = partner[i]!;
    if (j < 0) continue;
    const dx = a * frame.x[i]! - b * frame.y[i]! + tx - reference.x[j]!;
    const dy = b * frame.x[i]! + a * frame.y[i]! + ty - reference.y[j]!;
    squares[count++] = dx * dx + dy * dy;
  }
  squares.subarray(0, count).sort();
  // The median of a sum of two squared normal errors is 2 ln 2 times the variance of one.
  const middle = count > 0 ? squares[Math.floor(count / 2)]! : 0;
  return Math.sqrt((2 * middle) / (2 * Math.LN2));
}
