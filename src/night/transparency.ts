import { median, medianAbsoluteDeviation } from 'simple-statistics';
import type { FrameAssessment } from '../field/types.js';
import { crowding } from './crowding.js';
import { groupByFluxScale } from './group-frames.js';
import type { RegisteredFrame, StarField } from './register-fields.js';
import { numberFieldStars } from './star-catalogue.js';

/** One star on one frame. */
interface Sighting {
  readonly star: number;
  /** Natural logarithm of flux per second. */
  readonly logRate: number;
  /** Standard error of `logRate`. */
  readonly error: number;
}

/** Flat field, colour and blending keep a flux from repeating better than this, however bright the star. */
const errorFloor = 0.02;
/** Neighbours' light counts within so many FWHM of the softest frame, and errs by this part of itself as the seeing changes. */
const crowdingReach = 3;
const crowdingError = 0.3;
/** A ratio of fewer stars than this is no figure. */
const minStars = 3;
const passes = 12;

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

function sightings(frames: readonly RegisteredFrame<FrameAssessment>[]): Sighting[][] {
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
    const list: Sighting[] = [];
    for (let i = 0; i < stars.count; i++) {
      const star = starOf[f]![i]!;
      if (star < 0 || seen[star]! < 2) continue;
      const flux = stars.flux[i]!;
      const photon = 1 / Math.sqrt(electronsPerAdu * flux);
      const error = Math.hypot(errorFloor, skyNoise / flux, photon, crowdingError * crowded[star]!);
      list.push({ star, logRate: Math.log(flux / frame.header.exposureSeconds!), error });
    }
    return list;
  });
}

/** Logarithmic zero point of each frame; null for a frame with too few common stars. */
function solveZeroPoints(frames: readonly (readonly Sighting[])[]): (number | null)[] {
  // A long night has more sightings than a call has room for arguments.
  const starCount =
    1 + frames.reduce((most, list) => list.reduce((m, sighting) => Math.max(m, sighting.star), most), -1);
  const zero = startValues(frames, starCount);
  const star = new Float64Array(starCount);
  const starError = new Float64Array(starCount);
  const byStar: { frame: number; sighting: Sighting }[][] = Array.from({ length: starCount }, () => []);
  frames.forEach((list, frame) =>
    list.forEach((sighting) => byStar[sighting.star]!.push({ frame, sighting })),
  );

  for (let pass = 0; pass < passes; pass++) {
    for (let s = 0; s < starCount; s++) {
      const seen = byStar[s]!.filter(({ frame }) => zero[frame] !== null);
      const fit = robustMean(
        seen.map(({ frame, sighting }) => sighting.logRate - zero[frame]!),
        seen.map(({ sighting }) => sighting.error),
      );
      star[s] = fit.mean;
      // A variable star is told by its scatter only when there are frames enough to see it.
      starError[s] = seen.length >= 5 ? fit.scatter : 0;
    }
    frames.forEach((list, f) => {
      const usable = list.filter((sighting) => Number.isFinite(star[sighting.star]!));
      if (zero[f] === null || usable.length < minStars) {
        zero[f] = null;
        return;
      }
      zero[f] = robustMean(
        usable.map((sighting) => sighting.logRate - star[sighting.star]!),
        usable.map((sighting) => Math.hypot(sighting.error, starError[sighting.star]!)),
      ).mean;
    });
  }
  return zero;
}

/** Median ratio to the frame with most sightings, or 0 where too few stars are shared (the passes then find it). */
function startValues(frames: readonly (readonly Sighting[])[], starCount: number): (number | null)[] {
  const richest = frames.reduce((best, list) => (list.length > best.length ? list : best), frames[0]!);
  const reference = new Float64Array(starCount).fill(Number.NaN);
  for (const { star, logRate } of richest) reference[star] = logRate;
  return frames.map((list) => {
    const ratios = list.map(({ star, logRate }) => logRate - reference[star]!).filter(Number.isFinite);
    if (list.length < minStars) return null;
    return ratios.length < minStars ? 0 : median(ratios);
  });
}

/** Weighted mean with bisquare weights around the median; `scatter` is the normalised median absolute deviation. NaN for no values. */
function robustMean(values: readonly number[], errors: readonly number[]): { mean: number; scatter: number } {
  if (values.length === 0) return { mean: Number.NaN, scatter: 0 };
  const middle = median([...values]);
  const scatter = 1.4826 * medianAbsoluteDeviation([...values]);
  let sum = 0;
  let weights = 0;
  values.forEach((value, i) => {
    const error = errors[i]!;
    // Values are judged against their own error or against the common scatter, whichever is larger.
    const u = (value - middle) / (6 * Math.max(error, scatter));
    if (Math.abs(u) >= 1) return;
    const weight = (1 - u * u) ** 2 / (error * error);
    sum += weight * value;
    weights += weight;
  });
  return { mean: weights > 0 ? sum / weights : middle, scatter };
}
