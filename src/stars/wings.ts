import { weightedMedian } from '../stats/index.js';
import { frameFigure } from './frame-figure.js';
import type { StarWindow } from './star-window.js';

/** Mean light of the frame's stars in rings about the centre, out to where it ends; lengths in units of each star's own width. */
export interface WingCollector {
  /** Outer radii of the rings. */
  readonly radii: Float64Array;
  /** Per star: light per square of its width in each ring, over the star's flux within the reference radius. */
  readonly rings: Float64Array[];
  /** Per star: flux within the reference radius over the noise of a square of its width. */
  readonly signals: number[];
  /** What each star counts: that squared, levelled off. */
  readonly weights: number[];
  readonly reference: number;
}

const RINGS_PER_WIDTH = 4;
export const WING_REACH = 6;

/** Rings a quarter of a width wide, one border at the reference radius, out to `WING_REACH` widths. */
export function makeWingCollector(reference: number): WingCollector {
  const first = ((reference * RINGS_PER_WIDTH) % 1) / RINGS_PER_WIDTH || 1 / RINGS_PER_WIDTH;
  const count = Math.ceil((WING_REACH - first) * RINGS_PER_WIDTH) + 1;
  const radii = Float64Array.from({ length: count }, (_, k) => first + k / RINGS_PER_WIDTH);
  return { radii, rings: [], signals: [], weights: [], reference };
}

/**
 * Add one bright star: ring means (neighbours clipped) above the star's own outermost rings, over the flux within the reference radius.
 *
 * `fluxWithinReference` is taken above the window's sky; the outermost rings' level is taken off it here.
 */
export function collectWings(
  collector: WingCollector,
  window: StarWindow,
  x: number,
  y: number,
  widthPx: number,
  fluxWithinReference: number,
): void {
  const { radii } = collector;
  const levels = ringLevels(window, x, y, widthPx, radii);
  const level = levels[radii.length];
  const flux = fluxWithinReference - level * Math.PI * (collector.reference * widthPx) ** 2;
  if (!(flux > 0)) return;
  const scale = widthPx ** 2 / flux;
  const ratio = flux / (window.noise * widthPx);
  collector.signals.push(ratio);
  collector.weights.push((ratio * ratio) / (1 + (ratio / 300) ** 2));
  collector.rings.push(Float64Array.from(radii, (_, k) => scale * (levels[k] - level)));
}

/** Lines of the desk that the rings are sorted in. */
const WORK = { places: 0, sorted: 1, room: 2, more: 3, starts: 4 } as const;

/** Level of each ring (NaN for fewer than four pixels), and behind them that of the outermost ones together. */
function ringLevels(
  window: StarWindow,
  x: number,
  y: number,
  widthPx: number,
  radii: Float64Array,
): Float64Array {
  const { x0, y0, width, height, desk } = window;
  const { kernels, valuesAt, usableAt, numbers, numbersAt, linesAt } = desk;
  kernels.ringLevels(
    valuesAt,
    usableAt,
    width,
    height,
    x - x0,
    y - y0,
    widthPx,
    radii[0],
    RINGS_PER_WIDTH,
    radii.length,
    RINGS_PER_WIDTH,
    window.noise,
    linesAt[WORK.places],
    linesAt[WORK.sorted],
    linesAt[WORK.room],
    linesAt[WORK.more],
    linesAt[WORK.starts],
    numbersAt,
  );
  return numbers.subarray(0, radii.length + 1);
}

/** Light of the mean star beyond the reference radius. */
export interface Wings {
  /** Total flux over the flux within the reference radius, >= 1, and its standard error. */
  readonly totalOverReference: number;
  readonly error: number;
}

/** Slope of the outer light of a long exposure through the atmosphere: I ~ r^(-11/3) (Roddier 1981; Racine 1996): the flattest that is believed. */
const SEEING_SLOPE = 11 / 3;
/** Between the two annuli seeing has this slope (computed from its profile) and flattens from there on; a Moffat that is steeper than this by one does not. */
const SEEING_SLOPE_THERE = 4.03;
/** Steeper ones leave nothing worth counting. */
const STEEPEST = 12;
/** How well the light that the power law stands for is known, as a part of it: its slope, from two annuli, leaves that open (simulated frames of seeing). */
const LAW_ERROR = 0.4;
/** Out to here (widths) the rings are summed; beyond, a power law stands for them. */
const SUMMED_TO = 3;
/** Borders (widths) of the two annuli whose light gives that law. */
const LAW_BORDERS = [1.5, 2, 3] as const;

/**
 * How much light lies beyond the reference radius: weighted median over stars of each ring, and beyond three widths the power law that the light follows before. Null with
 * fewer than three stars.
 *
 * The rings count from the level of the outermost ones, where the same law still leaves a little light: that is put back.
 */
export function describeWings(collector: WingCollector): Wings | null {
  const { radii, rings, reference, weights } = collector;
  if (rings.length < 3) return null;
  const profile = Float64Array.from(radii, (_, k) =>
    weightedMedian(
      rings.map((star) => star[k]),
      weights,
    ),
  );
  const law = outerLaw(profile, radii);
  const level = law(WING_REACH - 0.5).height;
  const from = Math.max(SUMMED_TO, reference);
  const summed = lightBetween(profile, radii, reference, from);
  const lawful = level * summed.area + law(from).beyond;
  const beyond = summed.light + lawful;
  // The reference flux itself was taken above the same level.
  const inside = 1 + level * Math.PI * reference * reference;
  return {
    totalOverReference: Math.max(1, (inside + beyond) / inside),
    error: Math.hypot(errorOfExcess(collector), LAW_ERROR * lawful),
  };
}

/** Standard error of the light beyond the reference radius: as a median over the stars of that which each shows, from the noise of its rings and of the level that they count from, or what they scatter. */
function errorOfExcess({ radii, rings, reference, weights, signals }: WingCollector): number {
  const to = Math.max(SUMMED_TO, reference);
  const excess = rings.map((profile) => lightBetween(profile, radii, reference, to).light);
  const levelArea = Math.PI * (WING_REACH ** 2 - (WING_REACH - 1) ** 2);
  const area = Math.PI * to ** 2;
  const ringArea = area - Math.PI * reference ** 2;
  const noise = Math.sqrt((area * area) / levelArea + ringArea);
  const errors = signals.map((signal) => noise / signal);
  return frameFigure(excess, weights, errors).standardError ?? Infinity;
}

/** Light of the rings between two radii, and the area of those that could be measured. */
function lightBetween(
  profile: Float64Array,
  radii: Float64Array,
  inner: number,
  outer: number,
): { readonly light: number; readonly area: number } {
  let light = 0;
  let area = 0;
  for (let k = 0; k < profile.length; k += 1) {
    const r0 = Math.max(inner, k === 0 ? 0 : radii[k - 1]);
    const r1 = Math.min(outer, radii[k]);
    if (r1 <= r0 || !Number.isFinite(profile[k])) continue;
    const ring = Math.PI * (r1 * r1 - r0 * r0);
    light += profile[k] * ring;
    area += ring;
  }
  return { light, area };
}

/** Power law through the mean light of two annuli: its height at a radius and the light beyond it. */
function outerLaw(
  profile: Float64Array,
  radii: Float64Array,
): (r: number) => { readonly height: number; readonly beyond: number } {
  const [r0, r1, r2] = LAW_BORDERS;
  const near = lightBetween(profile, radii, r0, r1);
  const far = lightBetween(profile, radii, r1, r2);
  const ratio = near.light / near.area / (far.light / far.area);
  // The mean over an annulus is the height at the geometric mean of its borders: exact for r^-4.
  const slope = ratio > 1 ? Math.log(ratio) / Math.log(Math.sqrt(r2 / r0)) : ratio > 0 ? 0 : STEEPEST;
  const likeSeeing = Math.max(0, Math.min(1, SEEING_SLOPE_THERE + 1 - slope));
  const flattening = likeSeeing * (SEEING_SLOPE_THERE - SEEING_SLOPE);
  const n = Math.max(SEEING_SLOPE, Math.min(STEEPEST, slope - flattening));
  const scale = far.area > 0 ? Math.max(0, far.light / far.area) * (r1 * r2) ** (n / 2) : 0;
  return (r) => ({ height: scale * r ** -n, beyond: (2 * Math.PI * scale * r ** (2 - n)) / (n - 2) });
}
