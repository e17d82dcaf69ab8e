import type { PixelPlane } from '../fits/types.js';
import { clippingLevel, surveyFrame } from '../image/index.js';
import type { BackgroundMap, Streak } from '../image/types.js';
import { chooseBalanced } from './choose-balanced.js';
import { isWiderThanHits, takeFirstLook, type FirstLook } from './first-look.js';
import { fitStars } from './fit-stars.js';
import { frameSetting } from './frame-setting.js';
import { makeStarTable } from './make-star-table.js';
import { mergePieces } from './merge-pieces.js';
import { StarFlag, type StarTable } from './types.js';
import { typicalShape } from './typical-shape.js';
import { flagOddSizes, typicalSize } from './typical-size.js';

export interface MeasureOptions {
  /** Measure and fit every star, not a field-balanced selection. */
  readonly thorough?: boolean;
  readonly electronsPerAdu?: number | null;
  /** Profile fits at most (default 400). */
  readonly maxFitted?: number;
}

export interface StarMeasurement {
  readonly table: StarTable;
  readonly counts: {
    readonly detected: number;
    readonly measured: number;
    readonly saturated: number;
    readonly hotPixels: number;
    readonly cosmicRays: number;
  };
  readonly streaks: readonly Streak[];
}

/** Pixels that profile fits may look at, all together, before their number is cut: wide stars need fewer of them. */
const FIT_PIXELS = 2.5e5;
const CALIBRATORS = 150;

/**
 * Find and measure the stars of one frame: moments, profile, half-flux diameter, third moments, each with its error.
 *
 * Unless `thorough`, the number of stars measured (2.5 x `maxFitted`) and fitted is bounded and spread evenly over the field; stars that are not fitted take their
 * width from the moments, on the scale of the fits. A frame without stars gives an empty table.
 */
export function measureStars(
  plane: PixelPlane,
  background: BackgroundMap,
  options: MeasureOptions = {},
): StarMeasurement {
  const { sources: peaks, streaks } = surveyFrame(plane, background);
  const clipLevel = clippingLevel(plane, peaks.x, peaks.y, peaks.scalePx / 2);
  const shape = typicalShape(plane, background, peaks, clipLevel);
  const sources = mergePieces(peaks, shape);
  const setting = frameSetting(plane, background, sources, clipLevel, shape);
  const maxFitted = options.thorough ? Infinity : (options.maxFitted ?? 400);
  const measured = chooseBalanced(
    new Uint32Array(sources.count).map((_, s) => s),
    sources.x,
    sources.y,
    plane.width,
    plane.height,
    2.5 * maxFitted,
  );
  const gain = gainOfUnits(options.electronsPerAdu ?? null, background.medianNoise);
  const seen = Array.from(measured, (source) => takeFirstLook(setting, source, gain === null ? 0 : 1 / gain));
  // What no star of this frame can be does not go into a table of stars; where a star is hardly wider than a hit, its size alone does not tell.
  const starlike = seen.filter(({ flags }) => (flags & StarFlag.TooSharp) === 0);
  const typical = typicalSize(starlike, plane.width, plane.height, setting.shape);
  if (typical !== null) flagOddSizes(starlike, typical);
  const canTell = isWiderThanHits(setting);
  const looks = starlike.filter(
    ({ source, flags }) =>
      (!canTell || (flags & StarFlag.TooSharp) === 0) &&
      !isOnStreak(sources.x[source], sources.y[source], streaks, setting.widthPx),
  );

  const fitBudget = options.thorough
    ? looks.length
    : Math.min(maxFitted, Math.max(100, Math.round(FIT_PIXELS / (5.3 * setting.widthPx ** 2))));
  const fittable = rankForFit(looks);
  const chosen = chooseBalanced(
    fittable,
    Float64Array.from(looks, (look) => sources.x[look.source]),
    Float64Array.from(looks, (look) => sources.y[look.source]),
    plane.width,
    plane.height,
    fitBudget,
  );
  const calibrators = chooseCalibrators(looks, chosen);
  const fits = fitStars(setting, looks, chosen, calibrators, gain);
  const table = makeStarTable(setting, looks, fits, calibrators);
  return {
    table,
    counts: {
      detected: sources.count,
      measured: table.count,
      saturated: count(looks, StarFlag.Saturated),
      hotPixels: sources.hotPixels,
      cosmicRays: count(seen, StarFlag.TooSharp),
    },
    streaks,
  };
}

/** Stars worth a profile fit, best first: unblended before blended, then by flux. */
function rankForFit(looks: readonly FirstLook[]): number[] {
  const spoilt =
    StarFlag.Saturated | StarFlag.Edge | StarFlag.TooSharp | StarFlag.Extended | StarFlag.MomentsFailed;
  const order: number[] = [];
  for (let k = 0; k < looks.length; k += 1) if ((looks[k].flags & spoilt) === 0) order.push(k);
  const rank = (k: number): number => (looks[k].flags & StarFlag.Blended ? 1 : 0);
  return order.sort(
    (a, b) => rank(a) - rank(b) || (looks[b].moments?.flux ?? 0) - (looks[a].moments?.flux ?? 0),
  );
}

/** The cleanest bright stars among the chosen: what the frame's star image looks like is learnt from them. */
function chooseCalibrators(looks: readonly FirstLook[], chosen: Uint32Array): number[] {
  const clean = Array.from(chosen).filter((k) => looks[k].flags === 0);
  const bright = clean.filter((k) => {
    const { moments } = looks[k];
    return moments !== null && moments.flux > 40 * moments.fluxError;
  });
  return (bright.length >= 8 ? bright : clean).slice(0, CALIBRATORS);
}

/** Whether a source lies on a streak: the streak's own pieces, and stars under it, are not measured as stars. */
function isOnStreak(x: number, y: number, streaks: readonly Streak[], widthPx: number): boolean {
  return streaks.some(({ x1, y1, x2, y2, lengthPx, widthPx: streakWidth }) => {
    const along = ((x - x1) * (x2 - x1) + (y - y1) * (y2 - y1)) / lengthPx;
    const across = Math.abs((x - x1) * (y2 - y1) - (y - y1) * (x2 - x1)) / lengthPx;
    return along > -widthPx && along < lengthPx + widthPx && across < streakWidth + 1.5 * widthPx;
  });
}

function count(looks: readonly FirstLook[], flag: number): number {
  return looks.reduce((n, look) => n + (look.flags & flag ? 1 : 0), 0);
}

/** No camera's noise is under so many electrons. */
const LEAST_NOISE_ELECTRONS = 0.1;

/**
 * The gain, where it can be that of the pixels: a program that scales them to 0..1 leaves the camera's gain in the header, and with that
 * every star would drown in photon noise. Null where the noise would come to less electrons than any camera's.
 */
function gainOfUnits(electronsPerAdu: number | null, noiseAdu: number): number | null {
  if (electronsPerAdu === null || !(electronsPerAdu > 0)) return null;
  return noiseAdu * electronsPerAdu < LEAST_NOISE_ELECTRONS ? null : electronsPerAdu;
}
