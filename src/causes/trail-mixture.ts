import { median } from 'simple-statistics';
import { meanAxis, mountAxis } from './mount-axis.js';
import type { TrailedFrame } from './trails.js';

/** Trails of a night parted into those of the mount and those of the wind. */
export interface TrailMixture {
  readonly mount: readonly TrailedFrame[];
  readonly wind: readonly TrailedFrame[];
  /** Log-likelihood of two origins over that of wind alone, and over that of the mount alone. */
  readonly overWind: number;
  readonly overMount: number;
}

/** A fault of the mount keeps its axis to so many degrees; a short trail's axis is known to this over its ellipticity. */
const MOUNT_SCATTER_DEG = 1.2;
const AXIS_ERROR_DEG = 0.3;
/** Part of the trails whose axis is off for a reason of its own. */
const ASTRAY = 0.03;
/** A mount's trail lies near one of its axes so often; chance alone would give a third (both axes, 15 degrees either side). */
const ON_AXIS = 0.65;
const ON_AXIS_BY_CHANCE = 1 / 3;
/** Scatter of gusts about the night's direction, degrees; they may as well come from anywhere. */
const WIND_SCATTER_DEG = [8, 14, 22];
const FROM_ANYWHERE = 0.4;
const DIRECTIONS = 36;
/** Lengths (RMS) of mount's trails: as often alike to a tenth as not; gusts are never alike but by chance (scatter of the logarithm). */
const LENGTH_ALIKE = 0.1;
const LENGTH_APART = 0.55;
/** What gusts add across the trail over what they add along it more, in variance: shakes across of 0.2 to 0.7 of those along. */
const WIND_ACROSS = [0.04, 0.15, 0.4, 0.9];
/** Scatter of the seeing from frame to frame, part of the FWHM. */
const SEEING_SCATTER = 0.06;
const ODD_WIDTH = 0.1;
/** Chance that the next trail is of the other origin: a loose cable, or a windy spell, lasts. */
const CHANGE = 0.2;
/** Axes tried as that of the mount. */
const MOST_AXES = 60;

/**
 * The likeliest parting of trails into one axis of the mount and gusts, as a mixture of a narrow and a broad distribution of axes with a memory
 * in time: the mount's keep to one axis over several frames, often with one length, and stay slim across; gusts scatter in axis and length and
 * widen the stars across too. Labels are improved one by one from every trail's axis (iterated conditional modes; Besag 1986, JRSS B 48,
 * 259). Null where no two trails and another part so; fewer than three trails never do.
 *
 * @param bad trails in order of time; @param calm frames without, whose widths say what the air did
 */
export function trailMixture(
  bad: readonly TrailedFrame[],
  calm: readonly TrailedFrame[],
): TrailMixture | null {
  if (bad.length < 3) return null;
  const across = acrossOf(bad, calm);
  const wind = windTerms(bad, across);
  const all = bad.map(() => false);
  const windAlone = wind.of(all);
  const step = Math.max(1, bad.length / MOST_AXES);
  let mountAlone = -Infinity;
  let best: { readonly mount: readonly boolean[]; readonly log: number } | null = null;
  for (let at = 0; at < bad.length; at += step) {
    const seed = bad[Math.floor(at)];
    let axisDeg = seed.angleDeg;
    for (let round = 0; round < 2; round++) {
      const mount = mountTerms(bad, across, seed, axisDeg);
      mountAlone = Math.max(mountAlone, mount.of(all.map(() => true)));
      const log = (labels: readonly boolean[]): number =>
        mount.of(labels) + wind.of(labels) + changes(labels);
      const labels = improve(mount.near, log);
      const members = bad.filter((_, k) => labels[k]);
      if (members.length < 2 || members.length === bad.length) break;
      const reached = log(labels);
      if (best === null || reached > best.log) best = { mount: labels, log: reached };
      axisDeg = meanAxis(members.map((t) => ({ angleDeg: t.angleDeg, weight: t.rms }))).angleDeg;
    }
  }
  if (best === null) return null;
  const { mount, log } = best;
  return {
    mount: bad.filter((_, k) => mount[k]),
    wind: bad.filter((_, k) => !mount[k]),
    overWind: log - windAlone,
    overMount: log - mountAlone,
  };
}

/** Log-likelihood of gusts over that of one axis of the mount, for trails that are taken to be of one origin; 0 without any. */
export function windOverMount(bad: readonly TrailedFrame[], calm: readonly TrailedFrame[]): number {
  if (bad.length === 0) return 0;
  const across = acrossOf(bad, calm);
  const mount = bad.map((seed) => mountTerms(bad, across, seed, seed.angleDeg).of(bad.map(() => true)));
  return windTerms(bad, across).of(bad.map(() => false)) - Math.max(...mount);
}

/** Flip labels one by one while that makes the whole likelier. */
function improve(start: readonly boolean[], log: (labels: readonly boolean[]) => number): boolean[] {
  const labels = [...start];
  let reached = log(labels);
  for (let moved = true, round = 0; moved && round < 5; round++) {
    moved = false;
    for (let k = 0; k < labels.length; k++) {
      labels[k] = !labels[k];
      const tried = log(labels);
      if (tried > reached) {
        reached = tried;
        moved = true;
      } else labels[k] = !labels[k];
    }
  }
  return labels;
}

/** Variance that each trail adds across over what it adds along more, with its error; null where it was not measured. */
function acrossOf(
  bad: readonly TrailedFrame[],
  calm: readonly TrailedFrame[],
): ({ readonly value: number; readonly error: number } | null)[] {
  const width = (t: TrailedFrame): number[] =>
    t.fact.fitted === null ? [] : [t.fact.fitted.seeingPx * (t.fact.frame.scale?.arcsecPerPx ?? 1)];
  const air = calm.flatMap(width);
  if (air.length < 3) return bad.map(() => null);
  const still = median(air);
  return bad.map((t) => {
    const [own] = width(t);
    if (own === undefined) return null;
    const unit = 0.2 / t.rms ** 2;
    return {
      value: unit * (own ** 2 - still ** 2),
      error: unit * 2 * SEEING_SCATTER * still ** 2,
    };
  });
}

type Across = ReturnType<typeof acrossOf>;

interface Terms {
  /** Log-likelihood of the trails that the labels give to this origin. */
  readonly of: (labels: readonly boolean[]) => number;
}

/** Trails labelled `false`: gusts about one direction that nobody knows, or from anywhere. */
function windTerms(bad: readonly TrailedFrame[], across: Across): Terms {
  const directions = Array.from({ length: DIRECTIONS }, (_, k) => (180 * k) / DIRECTIONS);
  const about = WIND_SCATTER_DEG.flatMap((scatter) =>
    directions.map((direction) =>
      bad.map((t) =>
        Math.log(
          ASTRAY / 180 +
            (1 - ASTRAY) * normal(apartDeg(t.angleDeg, direction), Math.hypot(scatter, axisErrorDeg(t))),
        ),
      ),
    ),
  );
  const axes = [bad.map(() => Math.log(1 / 180)), ...about];
  const weights = [FROM_ANYWHERE, ...about.map(() => (1 - FROM_ANYWHERE) / about.length)];
  const widths = WIND_ACROSS.map((ratio) => across.map((a) => widthTerm(a, ratio)));
  return {
    of: (labels) =>
      logMean(
        axes.map((terms) => sumWhere(terms, labels, false)),
        weights,
      ) +
      logMean(
        widths.map((terms) => sumWhere(terms, labels, false)),
        widths.map(() => 1 / widths.length),
      ),
  };
}

/** Trails labelled `true`: one axis. Lengths are held against the seed's. `near`: the trails that lie on it. */
function mountTerms(
  bad: readonly TrailedFrame[],
  across: Across,
  seed: TrailedFrame,
  axisDeg: number,
): Terms & { readonly near: readonly boolean[] } {
  const { axis } = mountAxis([{ angleDeg: axisDeg, weight: 1, orientation: seed.fact.frame.orientation }]);
  const onAxis = axis === 'ra' || axis === 'dec';
  const prior = Math.log(onAxis ? ON_AXIS / ON_AXIS_BY_CHANCE : (1 - ON_AXIS) / (1 - ON_AXIS_BY_CHANCE));
  const errors = bad.map((t) => Math.hypot(MOUNT_SCATTER_DEG, axisErrorDeg(t)));
  const terms = bad.map((t, k) => {
    const off = normal(apartDeg(t.angleDeg, axisDeg), errors[k]);
    const length = Math.log(t.rms / seed.rms);
    const alike =
      t === seed
        ? 1
        : 0.5 + (0.5 * normal(length, LENGTH_ALIKE)) / normal(Math.min(length, LENGTH_APART), LENGTH_APART);
    return Math.log(ASTRAY / 180 + (1 - ASTRAY) * off) + Math.log(alike) + widthTerm(across[k], 0);
  });
  const typical = median(errors);
  return {
    near: bad.map((t, k) => apartDeg(t.angleDeg, axisDeg) < 3 * errors[k]),
    of: (labels) => {
      const members = labels.filter(Boolean).length;
      // The axis is fitted: what it could have been, in units of how exactly the trails fix it.
      const fitted = Math.log((Math.sqrt(2 * Math.PI) * typical) / Math.sqrt(members) / 180);
      return members === 0 ? 0 : prior + fitted + sumWhere(terms, labels, true);
    },
  };
}

function widthTerm(across: Across[number], ratio: number): number {
  if (across === null) return 0;
  const miss = normal(across.value - ratio, across.error);
  return Math.log(ODD_WIDTH * normal(across.value, Math.hypot(1.5, across.error)) + (1 - ODD_WIDTH) * miss);
}

/** Log-probability of the labels' order: each is as the one before, or of the other origin. */
function changes(labels: readonly boolean[]): number {
  return labels
    .slice(1)
    .reduce((sum, label, k) => sum + Math.log(label === labels[k] ? 1 - CHANGE : CHANGE), Math.log(0.5));
}

function axisErrorDeg(t: TrailedFrame): number {
  const square = t.elongation ** 2;
  return Math.min(20, AXIS_ERROR_DEG / Math.max(0.01, (square - 1) / (square + 1)));
}

function sumWhere(terms: readonly number[], labels: readonly boolean[], label: boolean): number {
  let sum = 0;
  for (let k = 0; k < terms.length; k++) if (labels[k] === label) sum += terms[k];
  return sum;
}

/** Logarithm of the weighted mean of likelihoods given as logarithms. */
function logMean(logs: readonly number[], weights: readonly number[]): number {
  const most = Math.max(...logs);
  return most + Math.log(logs.reduce((sum, log, k) => sum + weights[k] * Math.exp(log - most), 0));
}

function normal(value: number, sigma: number): number {
  return Math.exp(-0.5 * (value / sigma) ** 2) / (Math.sqrt(2 * Math.PI) * sigma);
}

/** Difference of two axes, degrees, 0 to 90. */
export function apartDeg(a: number, b: number): number {
  const d = Math.abs(a - b) % 180;
  return Math.min(d, 180 - d);
}
