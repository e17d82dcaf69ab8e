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
  }[];
  /** Log-odds of dew against cloud. */
  readonly dewLogOdds: number;
  /** Part of the largest loss that was won back afterwards. */
  readonly recovered: number;
  /** Rank-like measure of steady decline: -1 falls in every step, +1 rises. */
  readonly trend: number;
  /** Growth of half-flux diameter over FWHM per unit of light lost, in standard errors: a halo. */
  readonly halo: number;
  readonly framesWithoutMatch: number;
}

/** Transparency (airmass taken out) at which half of all observers would speak of cloud. */
const MATTERS_LOSS = 0.1;

/** Least scatter of the logarithm of a transparency that is believed. */
const LEAST_SCATTER = 0.01;

/** Work out how light was lost over the night; null with fewer than three frames that have a transparency. */
export function lightLoss(night: NightSeries): LightLoss | null {
  const list = losses(night.facts);
  if (list.length < 3) return null;
  const lost = list.map((loss) => {
    const gone = Math.max(1e-4, 1 - loss.corrected);
    return {
      file: loss.fact.file,
      confidence: logistic(4.5 * Math.log(gone / MATTERS_LOSS)),
      transparency: loss.transparency,
    };
  });
  const least = Math.min(...list.map((loss) => loss.corrected));
  const at = list.findIndex((loss) => loss.corrected === least);
  const after = list.slice(at).map((loss) => loss.corrected);
  const recovered = (Math.max(...after) - least) / Math.max(0.02, 1 - least);
  const trend = stepTrend(list.map((loss) => loss.corrected));
  const halo = haloGrowth(list);
  const several = Math.min(1, (list.length - 3) / 4);
  const decline = steadyCourse(
    list.map((loss, k) => loss.fact.hours ?? k),
    list.map((loss) => Math.log(loss.corrected)),
    LEAST_SCATTER,
  );
  // A film grows evenly; cloud comes in lumps even while it thickens.
  const even = decline === null || decline.rise > 0 ? 0 : bounded(0.5 * (decline.steadier - 1), 1.5);
  const dewLogOdds =
    even +
    // A thin film need not show its halo, a thick one does.
    bounded(0.8 * (halo - 1.5), halo > 1.5 ? 3.5 : 0.6) +
    several * bounded(-4 * (trend + 0.55), 2) +
    bounded(3 * (0.25 - recovered), 2.5) -
    1;
  return {
    losses: list,
    lost,
    dewLogOdds,
    recovered,
    trend,
    halo,
    framesWithoutMatch: night.facts.length - list.length,
  };
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

function haloGrowth(list: readonly Loss[]): number {
  const used = list.filter((loss) => loss.fact.widthRatio !== null && (loss.fact.trail?.strength ?? 0) < 0.2);
  if (used.length < 5) return 0;
  const fit = robustLinearFit(
    used.map((loss) => [1, Math.min(1, Math.max(0, 1 - loss.corrected))]),
    used.map((loss) => Math.log(loss.fact.widthRatio ?? 1)),
    used.map((loss) => loss.fact.widthRatioError),
  );
  if (!fit) return 0;
  const error = Math.sqrt(fit.covariance[1][1]);
  // Faint stars of a thin frame have noisy half-flux diameters: a slope below 3 % per unit of loss is none.
  return fit.coefficients[1] < 0.03 ? Math.min(0, fit.coefficients[1] / error) : fit.coefficients[1] / error;
}
