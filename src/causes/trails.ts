import { mean, median, sampleStandardDeviation } from 'simple-statistics';
import { robustLinearFit } from '../field/index.js';
import { strongestPeriod } from '../stats/index.js';
import { bounded, logistic } from './confidence.js';
import { scatterDeg } from './axis-scatter.js';
import { pixelEllipticity, plainAxisDeg } from './frame-trail.js';
import { meanAxis, mountAxis, type MountAxis } from './mount-axis.js';
import type { FrameFacts, NightSeries } from './night-series.js';

/** A frame whose stars are drawn out along one axis all over the field. */
export interface TrailedFrame {
  readonly fact: FrameFacts;
  /** Long over short axis that the trail alone would give. */
  readonly elongation: number;
  /** RMS along the axis, arcsec (pixels when the scale is unknown), common ordinary jitter taken out. */
  readonly rms: number;
  readonly angleDeg: number;
  /** Probability that it is trailed in a way that matters. */
  readonly confidence: number;
}

/** The trails of a night and what they have in common. */
export interface TrailPicture {
  readonly trailed: readonly TrailedFrame[];
  readonly unit: 'arcsec' | 'px';
  /** Mean axis in the pixel frame (longer trails count more) and how well the trails agree on it: 1 all the same, near 0 all different. */
  readonly angleDeg: number;
  readonly agreement: number;
  /** Scatter of the trails' lengths over their mean, in the stretch of the night that has them; null where that is too short to tell. */
  readonly unevenness: number | null;
  /** Growth of the stars' width across the trail with its length, in standard errors (wind shakes both axes). */
  readonly across: number;
  /** How exactly the trails repeat each other in axis and length, 0..1 (see `windLogOdds`). */
  readonly sameness: number;
  /** Period of the trails' length through the night, minutes, where it is beyond chance; else null. */
  readonly periodMinutes: number | null;
  /** Axis of the mount, and whether that rests on a WCS or on the camera being squared on. */
  readonly axis: MountAxis;
  readonly axisSource: 'wcs' | 'pixel-axes';
  /** Mean position angle of the trails, north through east; null without a WCS. */
  readonly skyAngleDeg: number | null;
  /** Steady drift between frames, pixels an hour, and its pull; null without registration. */
  readonly driftPxPerHour: {
    readonly value: number;
    readonly angleDeg: number;
    readonly significance: number;
  } | null;
}

/** Elongation of the trail at which half of all observers would call a frame trailed. */
const MATTERS = 1.09;
/** Trails under this many errors are noise. */
const REAL = 4;

/** Gather the trails; optics' patterns and field rotation have been taken out by the joint fit where it ran. */
export function trailPicture(night: NightSeries): TrailPicture {
  const facts = night.facts.filter((f) => f.trail !== null && f.frame.fwhm.px !== null);
  const vectors = facts.map((fact) => ({ fact, ...trailVector(fact) }));
  // Ordinary jitter is common to all frames: the vector of the calmer half.
  const calm = [...vectors].sort((a, b) => a.strength - b.strength).slice(0, Math.ceil(vectors.length / 2));
  const ordinary =
    calm.length >= 3
      ? { plus: median(calm.map((v) => v.plus)), cross: median(calm.map((v) => v.cross)) }
      : { plus: 0, cross: 0 };
  // A night trailed from end to end must not hide in its own average.
  const length = Math.hypot(ordinary.plus, ordinary.cross);
  const keep = length > 0.06 ? 0 : 1;
  const compared = keep === 1 && calm.length >= 3;
  const scale = facts.every((f) => f.frame.scale !== null) && facts.length > 0;
  const trailed: TrailedFrame[] = [];
  for (const v of vectors) {
    const strength = Math.min(0.95, v.strength);
    const elongation = Math.sqrt((1 + strength) / (1 - strength));
    const plus = v.plus - keep * ordinary.plus;
    const cross = v.cross - keep * ordinary.cross;
    const excess = Math.hypot(plus, cross);
    const angleDeg = ((Math.atan2(cross, plus) * 90) / Math.PI + 180) % 180;
    // What the pixels fake is in all frames: the calm ones have taken it out where they were.
    const faked = compared ? 0 : pixelEllipticity(v.fact.frame.fwhm.px ?? 1, angleDeg);
    const significance = excess / Math.hypot(v.error, 0.01, faked);
    const confidence =
      logistic(1.5 * (significance - REAL)) *
      logistic(4.5 * Math.log(Math.max(1e-3, elongation - 1) / (MATTERS - 1)));
    const size = 0.2 * (v.fact.frame.fwhm.px ?? 0) ** 2;
    const arcsec = scale ? (v.fact.frame.scale?.arcsecPerPx ?? 1) : 1;
    trailed.push({
      fact: v.fact,
      elongation,
      rms: Math.sqrt(2 * excess * size) * arcsec,
      angleDeg,
      confidence,
    });
  }
  return pictureOf(trailed, scale);
}

/** What trails have in common; also of some of a night's frames. */
export function pictureOf(trailed: readonly TrailedFrame[], inArcsec: boolean): TrailPicture {
  const bad = trailed.filter((t) => t.confidence > 0.4);
  const axis = commonAxis(bad);
  return {
    trailed,
    unit: inArcsec ? 'arcsec' : 'px',
    ...axis,
    unevenness: unevenness(trailed),
    across: acrossGrowth(trailed),
    sameness: sameness(axis.agreement, bad),
    periodMinutes: bad.length < 2 ? null : periodOf(trailed),
    driftPxPerHour: driftBetweenFrames(trailed.map((t) => t.fact)),
  };
}

/** The axis that trails share, in the pixel frame and on the mount; a longer trail has the surer one. */
export function commonAxis(
  trailed: readonly TrailedFrame[],
): Pick<TrailPicture, 'angleDeg' | 'agreement' | 'axis' | 'axisSource' | 'skyAngleDeg'> {
  const axes = trailed.map((t) => ({
    angleDeg: plainAxisDeg(t.fact.frame, t.fact.optics) ?? t.angleDeg,
    weight: t.confidence * (t.elongation - 1),
    orientation: t.fact.frame.orientation,
  }));
  const { axis, source, skyAngleDeg } = mountAxis(axes);
  return { ...meanAxis(axes), axis, axisSource: source, skyAngleDeg };
}

/**
 * Log-odds that the trails are wind rather than the mount's own guiding: wind changes its axis and strength from frame to frame and shakes
 * both axes; guiding errors keep to right ascension or declination.
 */
export function windLogOdds(picture: TrailPicture): number {
  const bad = picture.trailed.filter((t) => t.confidence > 0.4);
  const several = Math.min(1, (bad.length - 1) / 3);
  const scatter = several * bounded(12 * (0.9 - picture.agreement), 3.5);
  const uneven = several * (picture.unevenness === null ? 0 : bounded(6 * (picture.unevenness - 0.3), 1.8));
  const both = several * bounded(0.5 * (picture.across - 2), 1.5);
  // A third of all directions lie within 15 degrees of an axis: one trail alone says little by it.
  const trust = (picture.axisSource === 'wcs' ? 1.5 : 0.9) * (bad.length > 1 ? 1 : 0.6);
  // The mean of axes that scatter is no axis.
  const common = Math.min(1, Math.max(0, (picture.agreement - 0.7) / 0.25));
  const axis =
    picture.axis === 'ra' || picture.axis === 'dec'
      ? -trust * common
      : picture.axis === 'other'
        ? // Without a WCS an odd angle may as well be a camera that is not squared on.
          (picture.axisSource === 'wcs' ? 1.2 : 0.4) * several
        : 0;
  // One frame alone among calm ones: a jump or a lost guide star rather than wind, which shakes its neighbours too.
  const alone = bad.length === 1 && picture.trailed.length >= 5 ? -1.5 : 0;
  return scatter + uneven + both + axis + alone - 1.8 * several * picture.sameness - 0.4;
}

/** Axes that repeat to this many degrees, and lengths to this part: no gust repeats so. */
const SAME_AXIS_DEG = 2.2;
const SAME_LENGTH = 0.12;

/** How exactly the trails repeat each other, 0 to 1: the mount's faults keep their axis to a degree, and often their length. */
function sameness(agreement: number, bad: readonly TrailedFrame[]): number {
  if (bad.length < 2) return 0;
  const apartDeg = scatterDeg(agreement);
  const lengths = bad.map((t) => t.rms);
  const spread = sampleStandardDeviation(lengths) / mean(lengths);
  const axis = logistic((SAME_AXIS_DEG - apartDeg) / 0.6);
  return axis * (0.4 + 0.6 * logistic((SAME_LENGTH - spread) / 0.04));
}

/** Frames of one night that a drift of the field needs. */
const FEWEST_PLACED = 6;
/** A period that chance would give more often than this is none. */
const FALSE_ALARM = 0.02;

/** Period of the trails' length in the night with most frames; shorter ones than twice the usual step between frames cannot be told. */
function periodOf(trailed: readonly TrailedFrame[]): number | null {
  const timed = trailed.filter((t) => t.fact.hours !== null);
  const nights = new Set(timed.map((t) => t.fact.night));
  const used = [...nights]
    .map((night) => timed.filter((t) => t.fact.night === night))
    .reduce((most, list) => (list.length > most.length ? list : most), []);
  const minutes = used.map((t) => 60 * (t.fact.hours ?? 0));
  const steps = minutes.slice(1).map((m, k) => m - minutes[k]);
  if (steps.length < 7) return null;
  const found = strongestPeriod(
    minutes,
    used.map((t) => t.rms),
    2 * median(steps),
  );
  return found === null ||
    found.falseAlarm > FALSE_ALARM ||
    found.period > (minutes[minutes.length - 1] - minutes[0]) / 2
    ? null
    : found.period;
}

function trailVector(fact: FrameFacts): { plus: number; cross: number; strength: number; error: number } {
  const trail = fact.trail ?? { strength: 0, error: 1, angleDeg: 0 };
  const rotation = fact.optics?.detail.rotation;
  const angle = (trail.angleDeg * Math.PI) / 90;
  let plus = trail.strength * Math.cos(angle);
  let cross = trail.strength * Math.sin(angle);
  if (rotation && rotation.significance > 6 && fact.fitted) {
    // A turn about a far centre draws the middle of the field out too: that part is not the mount's drift.
    const size = 0.2 * (fact.frame.fwhm.px ?? 1) ** 2;
    const variance = rotation.cornerTrailPx ** 2 / 12 / size;
    const [u, v] = rotation.centre;
    const expected = (variance * (u * u + v * v)) / 2;
    const turn = 2 * Math.atan2(u, -v);
    const along = plus * Math.cos(turn) + cross * Math.sin(turn);
    // Rate and distance of the centre are known together better than each: up to twice the expected trail is the turn's.
    const taken = Math.min(Math.max(0, along), 2 * expected);
    plus -= taken * Math.cos(turn);
    cross -= taken * Math.sin(turn);
  }
  return { plus, cross, strength: Math.hypot(plus, cross), error: trail.error };
}

/** Scatter of trail lengths (RMS) between the first and the last trailed frame, over their mean. */
function unevenness(trailed: readonly TrailedFrame[]): number | null {
  const first = trailed.findIndex((t) => t.confidence > 0.4);
  let last = trailed.length - 1;
  while (last > first && trailed[last].confidence <= 0.4) last--;
  const stretch = first < 0 ? [] : trailed.slice(first, last + 1);
  if (stretch.length < 3) return null;
  const typical = mean(stretch.map((t) => t.rms));
  // A trail that grows or shrinks steadily is even: differences of neighbours count, not the trend.
  const steps = stretch
    .slice(1)
    .flatMap((t, k) => (t.fact.night === stretch[k].fact.night ? [t.rms - stretch[k].rms] : []));
  if (steps.length < 2) return null;
  return Math.sqrt(steps.reduce((sum, step) => sum + step * step, 0) / (2 * steps.length)) / typical;
}

function acrossGrowth(trailed: readonly TrailedFrame[]): number {
  const used = trailed.filter((t) => t.fact.fitted !== null);
  if (used.length < 6) return 0;
  const arcsec = (t: TrailedFrame): number => t.fact.frame.scale?.arcsecPerPx ?? 1;
  const fit = robustLinearFit(
    used.map((t) => [1, (t.rms / arcsec(t)) ** 2]),
    used.map((t) => 0.2 * (t.fact.fitted?.seeingPx ?? 1) ** 2),
    // Ordinary seeing moves the moment by a tenth from frame to frame.
    used.map((t) => 0.02 * (t.fact.fitted?.seeingPx ?? 1) ** 2),
  );
  return fit === null ? 0 : fit.coefficients[1] / Math.sqrt(fit.covariance[1][1]);
}

/** One rate for all nights, each with a start of its own: what happened between two nights is no drift. */
function driftBetweenFrames(facts: readonly FrameFacts[]): TrailPicture['driftPxPerHour'] {
  const placed = facts.filter(
    (f) => f.frame.registration !== null && !f.frame.registration.flipped && f.hours !== null,
  );
  const nights = [...new Set(placed.map((f) => f.night))].filter(
    (night) => placed.filter((f) => f.night === night).length >= FEWEST_PLACED,
  );
  const used = placed.filter((f) => nights.includes(f.night));
  if (used.length < FEWEST_PLACED) return null;
  const slope = (pick: (f: FrameFacts) => number): { value: number; error: number } | null => {
    const fit = robustLinearFit(
      used.map((f) => [f.hours ?? 0, ...nights.map((night) => (f.night === night ? 1 : 0))]),
      used.map(pick),
      used.map(() => 1),
    );
    return fit === null ? null : { value: fit.coefficients[0], error: Math.sqrt(fit.covariance[0][0]) };
  };
  const x = slope((f) => f.frame.registration?.dxPx ?? 0);
  const y = slope((f) => f.frame.registration?.dyPx ?? 0);
  if (x === null || y === null) return null;
  return {
    value: Math.hypot(x.value, y.value),
    angleDeg: ((Math.atan2(y.value, x.value) * 180) / Math.PI + 360) % 180,
    significance: Math.hypot(x.value / x.error, y.value / y.error),
  };
}
