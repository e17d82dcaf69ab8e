import { robustLinearFit } from '../field/index.js';
import { bounded, logistic } from './confidence.js';
import { losses, type Loss } from './extinction.js';
import { steadyCourse } from './steady-rise.js';
import type { NightSeries } from './night-series.js';

/** Loss of light over the night, and what its course speaks for. */
export interface LightLoss {
  readonly losses: readonly Loss[];
  /** Probability per frame that light was lost in a way that matters. */
  readonly lost: readonly {
    readonly file: string;
    readonly confidence: number;
    readonly transparency: number;
    /** The light came back later the same night, and other frames lost theirs after that: what took it here has passed. */
    readonly passed: boolean;
  }[];
  /** Log-odds of dew against cloud. */
  readonly dewLogOdds: number;
  /** Part of the largest loss that was won back afterwards, in the same night. */
  readonly recovered: number;
  /** Rank-like measure of steady decline: -1 falls in every step, +1 rises. */
  readonly trend: number;
  /** Growth of half-flux diameter over FWHM per unit of light lost, in standard errors: a halo. */
  readonly halo: number;
  /** What that growth comes to at the largest loss, per cent. */
  readonly haloPercent: number;
  /** Frames of the night with the largest loss, whose course this is. */
  readonly framesOfNight: number;
  readonly framesWithoutMatch: number;
}

/** Transparency (airmass taken out) at which half of all observers would speak of cloud. */
const MATTERS_LOSS = 0.1;

/** A course through a night needs this many frames of it. */
export const FEWEST_OF_NIGHT = 3;

/** Least scatter of the logarithm of a transparency that is believed. */
const LEAST_SCATTER = 0.01;

/** Work out how light was lost over the night; null with fewer than three frames that have a transparency. */
export function lightLoss(night: NightSeries): LightLoss | null {
  const list = losses(night.facts);
  if (list.length < 3) return null;
  const gone = passedLosses(list);
  const lost = list.map((loss) => ({
    file: loss.fact.file,
    confidence: lostConfidence(loss),
    transparency: loss.transparency,
    passed: gone.has(loss),
  }));
  const stayed = list.filter((loss) => !gone.has(loss));
  const least = Math.min(...stayed.map((loss) => loss.corrected));
  const worst = stayed.find((loss) => loss.corrected === least);
  // Dew of one night is gone in the next: its course is that of the night with the largest loss.
  const run = stayed.filter((loss) => loss.fact.night === worst?.fact.night);
  const after = run.slice(run.findIndex((loss) => loss === worst)).map((loss) => Math.min(1, loss.corrected));
  const recovered = (Math.max(...after) - Math.min(1, least)) / Math.max(0.02, 1 - least);
  const trend = stepTrend(run.map((loss) => loss.corrected));
  const halo = haloGrowth(stayed);
  const several = Math.min(1, Math.max(0, (run.length - 3) / 4));
  const decline = steadyCourse(
    run.map((loss, k) => loss.fact.hours ?? k),
    run.map((loss) => Math.log(loss.corrected)),
    LEAST_SCATTER,
  );
  // A film grows evenly; cloud comes in lumps even while it thickens.
  const even = decline === null || decline.rise > 0 ? 0 : bounded(0.5 * (decline.steadier - 1), 1.5);
  const dewLogOdds =
    even +
    // A thin film need not show its halo, a thick one does.
    bounded(0.8 * (halo.significance - 1.5), halo.significance > 1.5 ? 3.5 : 0.6) +
    several * bounded(-4 * (trend + 0.55), 2) -
    several * bounded(8 * Math.max(0, largestStep(run) - 0.5), 3) +
    // In a night of one or two frames nothing came back because nothing could, and cloud is the commoner of the two.
    (run.length < FEWEST_OF_NIGHT ? -1.5 : bounded(3 * (0.25 - recovered), 2.5)) -
    1;
  return {
    losses: list,
    lost,
    dewLogOdds,
    recovered,
    trend,
    halo: halo.significance,
    haloPercent: 100 * (Math.exp(halo.slope * Math.max(0, 1 - least)) - 1),
    framesOfNight: run.length,
    framesWithoutMatch: night.facts.length - list.length,
  };
}

/** Part of a loss that must come back for it to have passed. */
const CAME_BACK = 0.7;

function lostConfidence(loss: Loss): number {
  return logistic(4.5 * Math.log(Math.max(1e-4, 1 - loss.corrected) / MATTERS_LOSS));
}

/**
 * Losses that came back while the night's last one did not: cloud that went before dew (or thicker cloud) came. Empty where all losses came
 * back or none did: then the whole course speaks.
 */
function passedLosses(list: readonly Loss[]): ReadonlySet<Loss> {
  const lost = list.filter((loss) => lostConfidence(loss) > 0.5);
  const passed = lost.filter((loss) => {
    const later = list.slice(list.indexOf(loss) + 1).filter((other) => other.fact.night === loss.fact.night);
    const best = Math.min(1, Math.max(0, ...later.map((other) => other.corrected)));
    return best - loss.corrected > CAME_BACK * (1 - loss.corrected);
  });
  return new Set(passed.length < lost.length ? passed : []);
}

/** Largest fall of light from one frame to the next, part of the largest loss: a film grows from frame to frame, a bank of cloud is there at once. */
function largestStep(run: readonly Loss[]): number {
  const light = run.map((loss) => Math.min(1, loss.corrected));
  const falls = light.slice(1).map((value, k) => light[k] - value);
  return Math.max(0, ...falls) / Math.max(0.02, 1 - Math.min(...light));
}

/** Concordant minus discordant pairs over all pairs (Kendall's tau-a) of values against their order. */
function stepTrend(values: readonly number[]): number {
  let sum = 0;
  let pairs = 0;
  for (let i = 0; i < values.length; i++)
    for (let j = i + 1; j < values.length; j++) {
      pairs++;
      sum += Math.sign(values[j] - values[i]);
    }
  return pairs === 0 ? 0 : sum / pairs;
}

/** Part by which the wings of the seeing itself differ between the clear and the dim hours of a night. */
const WINGS_VARY = 0.008;

function haloGrowth(list: readonly Loss[]): { readonly slope: number; readonly significance: number } {
  const used = list.filter((loss) => loss.fact.widthRatio !== null && (loss.fact.trail?.strength ?? 0) < 0.2);
  const none = { slope: 0, significance: 0 };
  if (used.length < 5) return none;
  const fit = robustLinearFit(
    used.map((loss) => [1, Math.min(1, Math.max(0, 1 - loss.corrected))]),
    used.map((loss) => Math.log(loss.fact.widthRatio ?? 1)),
    used.map((loss) => Math.hypot(WINGS_VARY, loss.fact.widthRatioError)),
  );
  if (!fit) return none;
  const slope = fit.coefficients[1];
  const error = Math.sqrt(fit.covariance[1][1]);
  // Faint stars of a thin frame have noisy half-flux diameters: a slope below 3 % per unit of loss is none.
  return { slope, significance: slope < 0.03 ? Math.min(0, slope / error) : slope / error };
}
