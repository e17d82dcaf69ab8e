import { median } from 'simple-statistics';
import type { FrameAssessment } from '../field/types.js';
import { medianInPlace } from '../stats/index.js';
import { crowding } from './crowding.js';
import { groupByFluxScale } from './group-frames.js';
import type { RegisteredFrame, StarField } from './register-fields.js';
import { numberFieldStars } from './star-catalogue.js';

/** The stars of one frame that other frames show as well, as columns of equal length. */
interface Sightings {
  readonly count: number;
  /** Number of the star in the field. */
  readonly star: Int32Array;
  /** Natural logarithm of flux per second. */
  readonly logRate: Float64Array;
  /** Standard error of `logRate`. */
  readonly error: Float64Array;
}

/** Flat field, colour and blending keep a flux from repeating better than this, however bright the star. */
const errorFloor = 0.02;
/** Neighbours' light counts within so many FWHM of the softest frame, and errs by this part of itself as the seeing changes. */
const crowdingReach = 3;
const crowdingError = 0.3;
/** A ratio of fewer stars than this is no figure. */
const minStars = 3;
/** Passes at most, and the change of the zero points (natural logarithm) from one to the next under which they rest. */
const passes = 12;
const settled = 1e-5;

/**
 * Transparency of the frames of one star field: light per second of the same stars, relative to the best frames (the median of the clearest
 * quarter is 1). Frames are compared with those of the same filter, gain, binning and camera, across exposure times.
 *
 * Zero points of frames and brightnesses of stars are solved for together (so that frames need not share all stars), by
 * alternating weighted means with bisquare weights (Beaton & Tukey 1974) against variable, blended and clipped stars; a star weighs
 * by its photon and sky noise, with a floor, and by how well it repeats from frame to frame.
 *
 * @returns file -> transparency. Left out: frames without exposure time, with fewer than three common stars, or alone in their set.
 */
export function measureTransparency(field: StarField<FrameAssessment>): Map<string, number> {
  const result = new Map<string, number>();
  const byFile = new Map(field.frames.map((registered) => [registered.frame.file, registered]));
  for (const set of groupByFluxScale(field.frames.map((registered) => registered.frame))) {
    const usable = set.filter((frame) => (frame.header.exposureSeconds ?? 0) > 0);
    if (usable.length < 2) continue;
    const registered = usable.map((frame) => byFile.get(frame.file)!);
    const zeroPoints = solveZeroPoints(sightings(registered));
    const known = zeroPoints.filter((value) => value !== null);
    if (known.length < 2) continue;
    const clearest = [...known].sort((a, b) => b - a).slice(0, Math.ceil(known.length / 4));
    const best = median(clearest);
    zeroPoints.forEach((value, i) => {
      if (value !== null) result.set(usable[i]!.file, Math.exp(value - best));
    });
  }
  return result;
}

function sightings(frames: readonly RegisteredFrame<FrameAssessment>[]): Sightings[] {
  const { starOf, count, x, y } = numberFieldStars(frames);
  const seen = new Int32Array(count);
  for (const stars of starOf) for (const star of stars) if (star >= 0) seen[star]!++;
  const brightest = new Float64Array(count);
  frames.forEach(({ frame, stars }, f) =>
    starOf[f]!.forEach((star, i) => {
      const rate = stars.flux[i]! / frame.header.exposureSeconds!;
      if (star >= 0 && rate > brightest[star]!) brightest[star] = rate;
    }),
  );
  const softest = Math.max(2, ...frames.map(({ frame }) => frame.fwhm.px ?? 0));
  const crowded = crowding(x, y, brightest, crowdingReach * softest);
  return frames.map(({ frame, stars }, f) => {
    const skyNoise = (frame.limitingFlux ?? 0) / 5;
    const electronsPerAdu = frame.header.electronsPerAdu ?? Infinity;
    const star = new Int32Array(stars.count);
    const logRate = new Float64Array(stars.count);
    const error = new Float64Array(stars.count);
    let shared = 0;
    for (let i = 0; i < stars.count; i++) {
      const number = starOf[f]![i]!;
      if (number < 0 || seen[number]! < 2) continue;
      const flux = stars.flux[i]!;
      const photon = 1 / Math.sqrt(electronsPerAdu * flux);
      star[shared] = number;
      logRate[shared] = Math.log(flux / frame.header.exposureSeconds!);
      error[shared] = Math.hypot(errorFloor, skyNoise / flux, photon, crowdingError * crowded[number]!);
      shared++;
    }
    return { count: shared, star, logRate, error };
  });
}

/** Logarithmic zero point of each frame; null for a frame with too few common stars. */
function solveZeroPoints(frames: readonly Sightings[]): (number | null)[] {
  const starCount = 1 + frames.reduce((most, list) => list.star.reduce((m, s) => Math.max(m, s), most), -1);
  const zero = startValues(frames, starCount);
  const star = new Float64Array(starCount);
  const starError = new Float64Array(starCount);
  const byStar = sortByStar(frames, starCount);
  const most = Math.max(frames.length, ...frames.map((list) => list.count));
  const values = new Float64Array(most);
  const errors = new Float64Array(most);
  const mean = robustMeanOf(values, errors);

  for (let pass = 0; pass < passes; pass++) {
    for (let s = 0; s < starCount; s++) {
      let n = 0;
      for (let k = byStar.start[s]!; k < byStar.start[s + 1]!; k++) {
        const f = byStar.frame[k]!;
        const offset = zero[f];
        if (offset === null) continue;
        values[n] = frames[f]!.logRate[byStar.place[k]!]! - offset!;
        errors[n] = frames[f]!.error[byStar.place[k]!]!;
        n++;
      }
      const fit = mean(n);
      star[s] = fit.mean;
      // A variable star is told by its scatter only when there are frames enough to see it.
      starError[s] = n >= 5 ? fit.scatter : 0;
    }
    let moved = 0;
    frames.forEach((list, f) => {
      const before = zero[f];
      let n = 0;
      for (let k = 0; k < list.count; k++) {
        const s = list.star[k]!;
        if (!Number.isFinite(star[s]!)) continue;
        values[n] = list.logRate[k]! - star[s]!;
        errors[n] = Math.sqrt(list.error[k]! ** 2 + starError[s]! ** 2);
        n++;
      }
      zero[f] = before === null || n < minStars ? null : mean(n).mean;
      if (before !== null) moved = Math.max(moved, zero[f] === null ? Infinity : Math.abs(zero[f] - before));
    });
    if (moved < settled) break;
  }
  return zero;
}

/** Where each star is seen: `start[s]` to `start[s + 1]` is the range of star s in the two columns. */
function sortByStar(
  frames: readonly Sightings[],
  starCount: number,
): { readonly start: Int32Array; readonly frame: Int32Array; readonly place: Int32Array } {
  const start = new Int32Array(starCount + 1);
  for (const list of frames) for (let k = 0; k < list.count; k++) start[list.star[k]! + 1]!++;
  for (let s = 0; s < starCount; s++) start[s + 1]! += start[s]!;
  const next = start.slice();
  const frame = new Int32Array(start[starCount]!);
  const place = new Int32Array(start[starCount]!);
  frames.forEach((list, f) => {
    for (let k = 0; k < list.count; k++) {
      const at = next[list.star[k]!]!++;
      frame[at] = f;
      place[at] = k;
    }
  });
  return { start, frame, place };
}

/** Median ratio to the frame with most sightings, or 0 where too few stars are shared (the passes then find it). */
function startValues(frames: readonly Sightings[], starCount: number): (number | null)[] {
  const richest = frames.reduce((best, list) => (list.count > best.count ? list : best), frames[0]!);
  const reference = new Float64Array(starCount).fill(Number.NaN);
  for (let k = 0; k < richest.count; k++) reference[richest.star[k]!] = richest.logRate[k]!;
  return frames.map((list) => {
    if (list.count < minStars) return null;
    const ratios = list.logRate
      .subarray(0, list.count)
      .map((rate, k) => rate - reference[list.star[k]!]!)
      .filter(Number.isFinite);
    return ratios.length < minStars ? 0 : medianInPlace(ratios, ratios.length);
  });
}

/**
 * Weighted mean with bisquare weights around the median of the first `count` of the values, for any count up to their room; `scatter` is the normalised median
 * absolute deviation. NaN for no values.
 */
function robustMeanOf(
  values: Float64Array,
  errors: Float64Array,
): (count: number) => { readonly mean: number; readonly scatter: number } {
  const scratch = new Float64Array(values.length);
  return (count) => {
    if (count === 0) return { mean: Number.NaN, scatter: 0 };
    scratch.set(values.subarray(0, count));
    const middle = medianInPlace(scratch, count);
    for (let k = 0; k < count; k++) scratch[k] = Math.abs(values[k]! - middle);
    const scatter = 1.4826 * medianInPlace(scratch, count);
    let sum = 0;
    let weights = 0;
    for (let k = 0; k < count; k++) {
      const error = errors[k]!;
      // Values are judged against their own error or against the common scatter, whichever is larger.
      const u = (values[k]! - middle) / (6 * Math.max(error, scatter));
      if (Math.abs(u) >= 1) continue;
      const weight = (1 - u * u) ** 2 / (error * error);
      sum += weight * values[k]!;
      weights += weight;
    }
    return { mean: weights > 0 ? sum / weights : middle, scatter };
  };
}
