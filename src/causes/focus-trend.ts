import { quantile } from 'simple-statistics';
import { isotropicResponse, MOMENT_PER_FWHM2, widthRatio } from '../night/index.js';
import { seeingAtZenith } from '../optics/index.js';
import { CORE_ERROR, coreRise, coreShape } from './core-shape.js';
import { frameAirmass } from './extinction.js';
import type { FrameFacts } from './night-series.js';

/** How focus moved during one rest of the focuser, or between known moves of it. */
export interface RunDrift {
  readonly facts: readonly FrameFacts[];
  /** How much better a steadily moving focus accounts for widths and shapes than a focus at rest, standard errors. */
  readonly significance: number;
  /** Half the difference of squares by which a block of frames out of focus (a bump, not a drift) accounts better; < 0: worse. */
  readonly blockBetter: number;
  /** Growth of FWHM from the sharpest moment of the course to its softer end, per cent. */
  readonly softeningPercent: number;
  /** Steady movement of focus, blur disc in pixels over the whole run, and its size per unit of time and temperature. */
  readonly travelPx: number;
  readonly micronPerHour: Measured | null;
  readonly micronPerKelvin: Measured | null;
  readonly temperatureChangeK: number | null;
  readonly kelvinPerHour: number | null;
  /** Hours from the sharpest moment to 6 % wider stars; null when time is unknown or it never came to that. */
  readonly hoursToSoften: number | null;
  readonly frames: readonly { readonly file: string; readonly softeningPercent: number }[];
}

export interface Measured {
  readonly value: number;
  readonly error: number;
}

/** Growth of FWHM, per cent, before which somebody should have refocused. */
export const REFOCUS_PERCENT = 6;

/** Significance of tilt or curvature from which they tell the sense of focus. */
const PATTERN = 5;
const FEWEST_FOCI = 3;

/** Scatter of ln(moment) that the seeing gives from frame to frame at the least; the run's own neighbours may say more. */
const LEAST_SEEING_SCATTER = 0.06;
/** Seeing keeps part of its state from frame to frame, so that neighbours scatter less than the run does. */
const SEEING_MEMORY = 1.5;
/** Focus at the start and travel over the run that are tried, in widths of a sharp star. */
const START_GRID = [-1.2, -0.8, -0.5, -0.3, -0.15, 0, 0.15, 0.3, 0.5, 0.8, 1.2];
const TRAVEL_GRID = [0.2, 0.35, 0.5, 0.7, 0.9, 1.2, 1.6, 2.1, 2.7];

interface Datum {
  /** 0 at the start of the run, 1 at its end. */
  readonly x: number;
  /** What known moves of the focuser have added to the focus error since the start, blur disc in pixels. */
  readonly moved: number;
  /** Logarithms of the moment, pixel^2, and of half-flux diameter over FWHM. */
  readonly logMoment: number;
  readonly logRatio: number | null;
  readonly ratioError: number;
  readonly witness: number;
  /** Rise of ln(beta) of a dimmed frame; null for others. */
  readonly core: number | null;
  /** The joint fit's own focus, blur disc in pixels, where the field pattern gives it. */
  readonly focus: number | null;
  readonly focusError: number;
}

/**
 * Fit a focus that moves steadily over one run of frames with the focuser at rest, or moved by known steps: ln moment = ln V + ln R(q), half-flux diameter over
 * FWHM = r W(q), q = (a + b x)^2 / 16 V, with seeing scattering about V; x is temperature where it changed steadily, else time.
 *
 * Compared with a focus at rest (q the same for all). Null with fewer than five frames.
 */
export function driftOfRun(facts: readonly FrameFacts[]): RunDrift | null {
  if (facts.length < 5) return null;
  const times = facts.map((f, k) => f.hours ?? k);
  const temperatures = facts.flatMap((f) => (f.temperatureC === null ? [] : [f.temperatureC]));
  const change =
    temperatures.length === facts.length ? temperatures[temperatures.length - 1] - temperatures[0] : null;
  const byTemperature = change !== null && Math.abs(change) > 0.4;
  const raw = byTemperature ? temperatures : times;
  const span = raw[raw.length - 1] - raw[0];
  if (span === 0) return null;
  const width = quantile(
    facts.map((f) => f.frame.fwhm.px ?? 1),
    0.25,
  );
  const moves = knownMoves(facts);
  const cores = coreShape(facts);
  const data = facts.map((f, k) => datum(f, (raw[k] - raw[0]) / span, width, moves[k], cores[k]));
  const scatter = seeingScatter(data);
  const rest = bestAtRest(data, width, scatter);
  let best = { cost: Infinity, start: 0, travel: 0 };
  const moved = data.some((d) => d.moved !== 0);
  for (const start of START_GRID)
    for (const travel of TRAVEL_GRID)
      // Without a moved focuser the two senses of travel look alike.
      for (const sense of moved ? [1, -1] : [1]) {
        const cost = steady(data, width, scatter, start * width, sense * travel * width);
        if (cost < best.cost) best = { cost, start: start * width, travel: sense * travel * width };
      }
  best = refine(data, width, scatter, best);
  // Focus that jumps about is no drift, though a slope lies through it: what the course leaves over raises the errors.
  const excess = jumpiness(data, best.start, best.travel);
  const significance = Math.sqrt(Math.max(0, rest - best.cost) / excess);
  const added = data.map(
    (d) => (best.start + best.travel * d.x) ** 2 / 16 / (MOMENT_PER_FWHM2 * width * width),
  );
  const least = isotropicResponse(Math.min(...added)).value;
  const softening = added.map((q) => 100 * (Math.sqrt(isotropicResponse(q).value / least) - 1));
  const hours = (facts[facts.length - 1].hours ?? 0) - (facts[0].hours ?? 0);
  const micron = facts.find((f) => f.optics !== null)?.optics?.detail.micronPerDiscPx ?? null;
  const travelError = best.travel / Math.max(1, significance);
  const per = (unit: number): Measured | null =>
    micron === null || unit === 0
      ? null
      : { value: (Math.abs(best.travel) * micron) / unit, error: Math.abs((travelError * micron) / unit) };
  return {
    facts,
    significance,
    // Where it starts, where it ends and how much: a block has more freedom than a drift.
    blockBetter: (best.cost - bestBlock(data, width, scatter)) / 2 - 1.5,
    softeningPercent: Math.max(...softening),
    travelPx: best.travel,
    micronPerHour: hours > 0 ? per(hours) : null,
    micronPerKelvin: byTemperature && change !== null ? per(Math.abs(change)) : null,
    temperatureChangeK: change,
    kelvinPerHour: change === null || !(hours > 0) ? null : change / hours,
    hoursToSoften: hoursToSoften(facts, softening),
    frames: facts.map((f, k) => ({ file: f.file, softeningPercent: softening[k] })),
  };
}

function datum(fact: FrameFacts, x: number, width: number, moved: number, core: number): Datum {
  const { fitted } = fact;
  // A sinking target has worse seeing for reasons that are not the focus's: brought to the zenith.
  const air = frameAirmass(fact.frame);
  const zenith = seeingAtZenith(fact.frame.fwhm.px ?? width, air ?? 1);
  const size = MOMENT_PER_FWHM2 * zenith ** 2;
  return {
    x,
    moved,
    // The trail is not the focus's doing: half of it sits in the mean size.
    logMoment: Math.log(size * (1 - 0.5 * Math.min(0.8, fact.trail?.strength ?? 0))),
    logRatio: fact.disturbed || fact.widthRatio === null ? null : Math.log(fact.widthRatio),
    ratioError: fact.widthRatioError,
    witness: fact.shapeWitness,
    core: Number.isFinite(core) ? core : null,
    // Without a pattern over the field the shape of the stars is all that the fit had to go by, and its sign is open in every frame.
    focus:
      fitted === null || fact.disturbed || !patterned(fact) || fitted.focusErrorPx > 0.25 * width
        ? null
        : fitted.focusPx,
    focusError: Math.hypot(fitted?.focusErrorPx ?? 1, 0.12 * width),
  };
}

/** Does tilt or curvature draw a pattern that changes with focus? */
function patterned({ optics }: FrameFacts): boolean {
  return (
    optics !== null &&
    Math.max(optics.detail.tilt.significance, optics.detail.curvature.significance) > PATTERN
  );
}

/** Scatter of ln(moment) between neighbours, which a slow drift leaves alone. */
function seeingScatter(data: readonly Datum[]): number {
  const steps = data.slice(1).map((d, k) => Math.abs(d.logMoment - data[k].logMoment));
  const typical = quantile(steps, 0.5) / 0.6745 / Math.SQRT2;
  return SEEING_MEMORY * Math.max(LEAST_SEEING_SCATTER, Math.min(0.3, typical));
}

/** Focus at rest: a surface that stays while the known moves act, or a focus that is the same in every frame. */
function bestAtRest(data: readonly Datum[], width: number, scatter: number): number {
  let best = Infinity;
  for (const start of [0, 0.3, 0.6, 1, 1.5, 2.2]) {
    best = Math.min(
      best,
      steady(data, width, scatter, start * width, 0),
      costOf(data, width, scatter, () => start * width),
    );
  }
  return best;
}

/** Known moves of the focuser since the first frame, blur disc in pixels (outwards lessens z); zeros where step or scale is unknown. */
function knownMoves(facts: readonly FrameFacts[]): number[] {
  const micron = facts.find((f) => f.optics !== null)?.optics?.detail.micronPerDiscPx ?? null;
  const first = facts[0].frame.header.focuserPosition;
  return facts.map((f) => {
    const { focuserPosition, focuserMicronPerStep } = f.frame.header;
    if (micron === null || first === null || focuserPosition === null || focuserMicronPerStep === null)
      return 0;
    return (-(focuserPosition - first) * focuserMicronPerStep) / micron;
  });
}

function refine(
  data: readonly Datum[],
  width: number,
  scatter: number,
  from: { cost: number; start: number; travel: number },
): { cost: number; start: number; travel: number } {
  let best = from;
  for (let step = 0.08 * width; step > 0.005 * width; step /= 2)
    for (const [ds, dt] of [
      [step, 0],
      [-step, 0],
      [0, step],
      [0, -step],
      [step, -step],
      [-step, step],
    ]) {
      const travel = best.travel + dt;
      const cost = steady(data, width, scatter, best.start + ds, travel);
      if (cost < best.cost) best = { cost, start: best.start + ds, travel };
    }
  return best;
}

function steady(
  data: readonly Datum[],
  width: number,
  scatter: number,
  start: number,
  travel: number,
): number {
  return costOf(data, width, scatter, (d) => start + travel * d.x + d.moved);
}

/** Places where a block may start or end: all of them in a short run, evenly spread in a long one. */
const BLOCK_EDGES = 20;

/** Best account by frames side by side that lie out of focus by one amount, the rest being in focus. */
function bestBlock(data: readonly Datum[], width: number, scatter: number): number {
  const step = Math.max(1, Math.ceil(data.length / BLOCK_EDGES));
  let best = Infinity;
  for (let from = 0; from < data.length; from += step)
    for (let to = from + step; to <= data.length; to += step) {
      if (to - from >= data.length) continue;
      for (const size of [0.5, 0.8, 1.1, 1.5, 2.1]) {
        best = Math.min(
          best,
          costOf(data, width, scatter, (_, k) => (k >= from && k < to ? size * width : 0)),
        );
      }
    }
  return best;
}

/** Robust sum of squares of a course; middle seeing and the base of the ratio are the data's own (weighted means of what is left). */
function costOf(
  data: readonly Datum[],
  width: number,
  scatter: number,
  course: (d: Datum, k: number) => number,
): number {
  const base = MOMENT_PER_FWHM2 * width * width;
  const sizes = scattered(data.length);
  const ratios = scattered(data.length);
  let cores = 0;
  for (let k = 0; k < data.length; k++) {
    const d = data[k];
    const z = course(d, k);
    const q = (z * z) / 16 / base;
    add(sizes, d.logMoment - Math.log(isotropicResponse(q).value), scatter);
    if (d.logRatio !== null) add(ratios, d.logRatio - Math.log(widthRatio(q, d.witness).value), d.ratioError);
    if (d.core !== null) cores += capped((d.core - coreRise(q)) / CORE_ERROR);
  }
  return spread(sizes) + spread(ratios) + cores + fociCost(data, course);
}

/** The joint fit's own foci against a course. Their global sign is open here, and so is their zero where curvature shifts the best mean. */
function fociCost(data: readonly Datum[], course: (d: Datum, k: number) => number): number {
  const along = scattered(data.length);
  const against = scattered(data.length);
  for (let k = 0; k < data.length; k++) {
    const { focus, focusError } = data[k];
    if (focus === null) continue;
    const model = course(data[k], k);
    add(along, focus - model, focusError);
    add(against, focus + model, focusError);
  }
  return along.count < FEWEST_FOCI ? 0 : Math.min(spread(along), spread(against));
}

/** What the steady course leaves of the fitted foci, for each beyond its start, its travel and the zero; at least 1. */
function jumpiness(data: readonly Datum[], start: number, travel: number): number {
  const count = data.filter((d) => d.focus !== null).length;
  if (count < FEWEST_FOCI) return 1;
  return Math.max(1, fociCost(data, (d) => start + travel * d.x + d.moved) / Math.max(1, count - 3));
}

/** Values with their errors, in columns: courses are tried by the thousand. */
interface Scattered {
  readonly values: Float64Array;
  readonly errors: Float64Array;
  count: number;
}

function scattered(room: number): Scattered {
  return { values: new Float64Array(room), errors: new Float64Array(room), count: 0 };
}

function add(to: Scattered, value: number, error: number): void {
  to.values[to.count] = value;
  to.errors[to.count] = error;
  to.count += 1;
}

/** Squares about the weighted mean, in errors, each capped at nine. */
function spread({ values, errors, count }: Scattered): number {
  let weight = 0;
  let sum = 0;
  for (let k = 0; k < count; k++) {
    weight += 1 / (errors[k] * errors[k]);
    sum += values[k] / (errors[k] * errors[k]);
  }
  const mean = weight > 0 ? sum / weight : 0;
  let total = 0;
  for (let k = 0; k < count; k++) total += capped((values[k] - mean) / errors[k]);
  return total;
}

/** Square of a residual in errors, nine at the most. */
function capped(residual: number): number {
  return Math.min(9, residual * residual);
}

function hoursToSoften(facts: readonly FrameFacts[], softening: readonly number[]): number | null {
  const sharpest = softening.indexOf(Math.min(...softening));
  for (let k = sharpest + 1; k < facts.length; k++) {
    const here = facts[k].hours;
    const then = facts[sharpest].hours;
    if (softening[k] >= REFOCUS_PERCENT && here !== null && then !== null && here > then) return here - then;
  }
  return null;
}
