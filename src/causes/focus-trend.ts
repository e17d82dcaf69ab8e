import { robustLinearFit } from '../field/index.js';
import { MOMENT_PER_FWHM2 } from '../night/blur-response.js';
import type { FrameFacts } from './night-series.js';

/** How focus moved during one rest of the focuser. */
export interface RunDrift {
  readonly facts: readonly FrameFacts[];
  /** Part of the variance of star width that a smooth (parabolic in squares) course in time explains, 0..1, adjusted for its terms. */
  readonly explained: number;
  /** Growth of FWHM from the sharpest part of the course to its softest end, per cent. */
  readonly softeningPercent: number;
  /** Slope of the fitted focus with time or temperature in units of its error. */
  readonly focusSignificance: number;
  readonly micronPerHour: Measured | null;
  readonly micronPerKelvin: Measured | null;
  readonly temperatureChangeK: number | null;
  readonly kelvinPerHour: number | null;
  /** Hours from the sharpest moment to 6 % wider stars; null when time is unknown. */
  readonly hoursToSoften: number | null;
  readonly frames: readonly { readonly file: string; readonly softeningPercent: number }[];
}

export interface Measured {
  readonly value: number;
  readonly error: number;
}

/** Scatter of ln(FWHM^2) that ordinary seeing gives from frame to frame; keeps small nights from looking certain. */
const SEEING_SCATTER = 0.03;

/**
 * Fit the course of star width and of the fitted focus over one run of frames with the focuser at rest.
 *
 * FWHM^2 = seeing^2 + c (t - t0)^2 is a parabola in time: fitted in ln FWHM^2 by order of exposure. Null with fewer than five frames.
 */
export function driftOfRun(facts: readonly FrameFacts[]): RunDrift | null {
  if (facts.length < 5) return null;
  const at = facts.map((f, k) => f.hours ?? k);
  const start = at[0];
  const length = Math.max(1e-9, at[at.length - 1] - start);
  const x = at.map((t) => (t - start) / length);
  const y = facts.map((f) => Math.log((f.softness ?? 1) ** 2));
  const fit = robustLinearFit(
    x.map((t) => [1, t, t * t]),
    y,
    y.map(() => SEEING_SCATTER),
  );
  if (!fit) return null;
  const course = x.map((t) => fit.coefficients[0] + fit.coefficients[1] * t + fit.coefficients[2] * t * t);
  const mean = y.reduce((a, b) => a + b, 0) / y.length;
  const total = y.reduce((sum, v) => sum + (v - mean) ** 2, 0) + y.length * SEEING_SCATTER ** 2;
  const left = y.reduce((sum, v, k) => sum + (v - course[k]) ** 2, 0) + y.length * SEEING_SCATTER ** 2;
  const explained = Math.max(0, 1 - ((left / total) * (y.length - 1)) / (y.length - 3));
  const lowest = Math.min(...course);
  const softening = course.map((c) => 100 * (Math.exp((c - lowest) / 2) - 1));
  const focus = focusTrend(facts);
  return {
    facts,
    explained,
    softeningPercent: Math.max(softening[0], softening[softening.length - 1]),
    focusSignificance: focus.significance,
    micronPerHour: focus.micronPerHour,
    micronPerKelvin: focus.micronPerKelvin,
    temperatureChangeK: focus.temperatureChangeK,
    kelvinPerHour: focus.kelvinPerHour,
    hoursToSoften: hoursToSoften(facts, softening),
    frames: facts.map((f, k) => ({ file: f.file, softeningPercent: softening[k] })),
  };
}

function hoursToSoften(facts: readonly FrameFacts[], softening: readonly number[]): number | null {
  const sharpest = softening.indexOf(Math.min(...softening));
  for (let k = sharpest + 1; k < facts.length; k++) {
    const here = facts[k].hours;
    const then = facts[sharpest].hours;
    if (softening[k] >= 6 && here !== null && then !== null && here > then) return here - then;
  }
  return null;
}

interface FocusTrend {
  readonly significance: number;
  readonly micronPerHour: Measured | null;
  readonly micronPerKelvin: Measured | null;
  readonly temperatureChangeK: number | null;
  readonly kelvinPerHour: number | null;
}

/** Straight line through the fitted focus against time and against temperature. */
function focusTrend(facts: readonly FrameFacts[]): FocusTrend {
  const known = facts.filter((f) => f.fitted !== null && f.hours !== null);
  const micron = facts.find((f) => f.optics !== null)?.optics?.detail.micronPerDiscPx ?? null;
  const temperatures = facts.flatMap((f) => (f.temperatureC === null ? [] : [f.temperatureC]));
  const change = temperatures.length >= 2 ? temperatures[temperatures.length - 1] - temperatures[0] : null;
  const hours = (known[known.length - 1]?.hours ?? 0) - (known[0]?.hours ?? 0);
  const perHour = line(known, (f) => f.hours ?? 0);
  const warm = known.filter((f) => f.temperatureC !== null);
  const perKelvin =
    change !== null && Math.abs(change) > 0.3 && warm.length >= 5
      ? line(warm, (f) => f.temperatureC ?? 0)
      : null;
  const inMicron = (m: Measured | null): Measured | null =>
    m === null || micron === null ? null : { value: m.value * micron, error: m.error * micron };
  return {
    significance: perHour === null ? 0 : Math.abs(perHour.value) / perHour.error,
    micronPerHour: inMicron(perHour),
    micronPerKelvin: inMicron(perKelvin),
    temperatureChangeK: change,
    kelvinPerHour: change === null || !(hours > 0) ? null : change / hours,
  };
}

function line(facts: readonly FrameFacts[], x: (f: FrameFacts) => number): Measured | null {
  if (facts.length < 5) return null;
  const fit = robustLinearFit(
    facts.map((f) => [1, x(f)]),
    facts.map((f) => f.fitted?.focusPx ?? 0),
    facts.map((f) => {
      // The fitted focus also carries the frame's seeing where the field shows no pattern: never trusted below 5 % of the width.
      const floor = 0.05 * (f.fitted?.seeingPx ?? 1);
      return Math.hypot(f.fitted?.focusErrorPx ?? 1, floor);
    }),
  );
  if (!fit) return null;
  return { value: fit.coefficients[1], error: Math.sqrt(fit.covariance[1][1]) };
}

/** Growth of FWHM that a blur disc of the given diameter gives, per cent, on a star of the given FWHM (both pixels). */
export function softeningOfDisc(discPx: number, fwhmPx: number): number {
  const added = discPx ** 2 / 16 / (MOMENT_PER_FWHM2 * fwhmPx ** 2);
  return 100 * (Math.sqrt(1 + 1.25 * added) - 1);
}
