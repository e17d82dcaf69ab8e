import { median } from 'simple-statistics';
import { bestBend } from './best-bend.js';
import { piecewiseLines } from './piecewise-lines.js';

/** A lasting change of level. */
export interface Step {
  /** Index of the first value on the new level. */
  readonly index: number;
  /** `bend`: no jump, a drift begins, ends or changes here. */
  readonly kind: 'step' | 'bend';
  /** Level just before and just after, as the stretches on either side have it there (lone bad values count little). */
  readonly before: number;
  readonly after: number;
  readonly size: number;
  /** Standard error of the size. */
  readonly error: number;
  /** Statistic of the change: size over its standard error. */
  readonly significance: number;
}

export interface StepsFound {
  readonly steps: readonly Step[];
  /** Steady drift within each stretch between the steps, in y per x; 0 where none is needed. */
  readonly drifts: readonly number[];
  /** Scatter from value to value, one standard deviation. */
  readonly sigma: number;
}

export interface StepOptions {
  /** Cost of one more step, in units of sigma^2: see `STEP_PENALTY`. */
  readonly penalty?: number;
  /** Shortest stretch between steps, values. */
  readonly shortest?: number;
}

/**
 * Calibrated by simulation on independent normal values: `npm run bench:rig` prints the rate of false alarms and of steps found.
 * Sixteen leaves about one false alarm in twenty thousand nights of one figure, so that a dozen figures together stay under one in two years.
 */
export const STEP_PENALTY = 16;

/**
 * Changes of level in a series, found without being told where: of three models the one with the least squared misfit plus a
 * penalty for each step and each drift. The models: steps alone; steps beside one common drift; stretches that are level or drift each
 * in its own way, so that a slow decay is one drift and not a staircase.
 *
 * `x`: times in order, any unit (used for the drift only); `y`: values, any unit. Exact minimisation by optimal partitioning
 * (Jackson et al. 2005, IEEE SPL 12, 105); values more than three sigma off the running median of five are drawn in first, so that a bad
 * night is not a step (Fearnhead & Rigaill 2019 give the reason); the scatter comes from neighbouring differences, and
 * the penalty grows when the residuals resemble their neighbours (factor (1 + rho)/(1 - rho)).
 * Fewer than 2 * shortest values, or all equal: no steps.
 */
export function findSteps(x: readonly number[], y: readonly number[], options: StepOptions = {}): StepsFound {
  const shortest = options.shortest ?? 4;
  const sigma = neighbourSigma(y);
  if (y.length < 2 * shortest || !(sigma > 0)) return { steps: [], drifts: [0], sigma: sigma || 0 };
  const tame = drawInOutliers(y, sigma);
  let penalty = (options.penalty ?? STEP_PENALTY) * sigma * sigma;
  let best = bestModel(x, tame, penalty, shortest);
  const rho = neighbourCorrelation(residuals(x, tame, best));
  if (rho > 2 / Math.sqrt(y.length)) {
    penalty *= (1 + Math.min(rho, 0.8)) / (1 - Math.min(rho, 0.8));
    best = bestModel(x, tame, penalty, shortest);
  }
  return { steps: describeSteps(x, tame, best, { sigma, penalty, shortest }), drifts: best.drifts, sigma };
}

interface Model {
  readonly starts: readonly number[];
  /** One a stretch. */
  readonly drifts: readonly number[];
  readonly cost: number;
}

/** The cheapest of the three models; a drift costs as much as a step. */
function bestModel(x: readonly number[], y: readonly number[], penalty: number, shortest: number): Model {
  const flat = withDrift(partition(y, penalty, shortest), 0);
  // The usual case, cheaply: neither a step nor a drift.
  if (flat.starts.length === 1 && driftGain(x, y) < penalty) return flat;
  let sloped: Model = { starts: [0], drifts: [0], cost: Infinity };
  // Alternate between the drift within the stretches and the stretches about the drift, from both ends:
  // no steps at all, and the steps of the flat model.
  for (const from of flat.starts.length > 1 ? [[0], flat.starts] : [[0]]) {
    let starts: readonly number[] = from;
    for (let i = 0; i < 5; i++) {
      const drift = commonDrift(x, y, starts);
      const level = y.map((value, k) => value - drift * x[k]);
      const found = partition(level, penalty, shortest);
      if (found.cost + penalty < sloped.cost)
        sloped = withDrift({ ...found, cost: found.cost + penalty }, drift);
      if (found.starts.join() === starts.join()) break;
      starts = found.starts;
    }
  }
  const { starts, slopes, cost } = piecewiseLines(x, y, penalty, shortest);
  const lines = { starts, drifts: slopes, cost };
  return [sloped, lines].reduce((best, model) => (model.cost < best.cost ? model : best), flat);
}

function withDrift({ starts, cost }: Omit<Model, 'drifts'>, drift: number): Model {
  return { starts, cost, drifts: starts.map(() => drift) };
}

/** Optimal partitioning: least sum of squares about stretch means plus `penalty` for each stretch after the first. */
function partition(
  y: readonly number[],
  penalty: number,
  shortest: number,
): { starts: number[]; cost: number } {
  const n = y.length;
  const sum = new Float64Array(n + 1);
  const square = new Float64Array(n + 1);
  const inverse = new Float64Array(n + 1);
  for (let i = 0; i < n; i++) {
    sum[i + 1] = sum[i] + (y[i] - y[0]);
    square[i + 1] = square[i] + (y[i] - y[0]) ** 2;
    inverse[i + 1] = 1 / (i + 1);
  }
  // Least cost up to each end, the sum of squares up to there taken off: what the inner loop, the hot one, adds to.
  const base = new Float64Array(n + 1).fill(Infinity);
  const previous = new Int32Array(n + 1);
  base[0] = -penalty;
  for (let end = shortest; end <= n; end++) {
    const total = sum[end];
    let [least, from] = [Infinity, 0];
    for (let start = 0; start <= end - shortest; start++) {
      const within = total - sum[start];
      const cost = base[start] - within * within * inverse[end - start];
      if (cost < least) {
        least = cost;
        from = start;
      }
    }
    base[end] = least + penalty;
    previous[end] = from;
  }
  const starts: number[] = [];
  for (let end = n; end > 0; end = previous[end]) starts.unshift(previous[end]);
  return { starts, cost: base[n] + square[n] };
}

/** Least-squares slope shared by all stretches. */
function commonDrift(x: readonly number[], y: readonly number[], starts: readonly number[]): number {
  let [top, bottom] = [0, 0];
  starts.forEach((start, k) => {
    const end = starts[k + 1] ?? y.length;
    let [mx, my] = [0, 0];
    for (let i = start; i < end; i++) {
      mx += x[i] / (end - start);
      my += y[i] / (end - start);
    }
    for (let i = start; i < end; i++) {
      top += (x[i] - mx) * (y[i] - my);
      bottom += (x[i] - mx) ** 2;
    }
  });
  return bottom > 0 ? top / bottom : 0;
}

/** By how much one straight line lowers the sum of squares about the mean. */
function driftGain(x: readonly number[], y: readonly number[]): number {
  const slope = commonDrift(x, y, [0]);
  const centre = x.reduce((a, b) => a + b, 0) / x.length;
  return slope * slope * x.reduce((sum, value) => sum + (value - centre) ** 2, 0);
}

function residuals(x: readonly number[], y: readonly number[], model: Model): number[] {
  return stretchesOf(x, y, model).flatMap(({ level }) => {
    const centre = mean(level);
    return level.map((value) => value - centre);
  });
}

/** The values of each stretch with its drift taken out, and its times. */
function stretchesOf(x: readonly number[], y: readonly number[], { starts, drifts }: Model) {
  return starts.map((start, k) => {
    const times = x.slice(start, starts[k + 1]);
    return {
      times,
      drift: drifts[k],
      level: times.map((time, i) => y[start + i] - drifts[k] * time),
    };
  });
}

type StretchOfValues = ReturnType<typeof stretchesOf>[number];

function describeSteps(
  x: readonly number[],
  y: readonly number[],
  model: Model,
  { sigma, penalty, shortest }: { sigma: number; penalty: number; shortest: number },
): Step[] {
  const stretches = stretchesOf(x, y, model);
  const common = model.drifts.every((drift) => drift === model.drifts[0]);
  const steps: Step[] = [];
  model.starts.slice(1).forEach((start, k) => {
    const [left, right] = [stretches[k], stretches[k + 1]];
    // Two lines that meet serve as well as two that jump, the cost of a step considered: a drift begins or ends, nothing moved at once.
    const from = model.starts[k];
    const to = model.starts[k + 2] ?? y.length;
    const bend = common
      ? null
      : bestBend(x.slice(from, to), y.slice(from, to), [left.drift !== 0, right.drift !== 0], shortest);
    const meets = bend !== null && bend.misfit < misfit(left) + misfit(right) + penalty;
    const kind = meets && from + bend.index > (steps[k - 1]?.index ?? 0) ? 'bend' : 'step';
    const index = kind === 'bend' ? from + bend!.index : start;
    // Levels are quoted at the time of the step, with the drift put back.
    const at = (x[index - 1] + x[index]) / 2;
    const before = kind === 'bend' ? bend!.level : mean(left.level) + left.drift * at;
    const after = kind === 'bend' ? bend!.level : mean(right.level) + right.drift * at;
    const error = sigma * Math.sqrt(varianceAt(left, at, common) + varianceAt(right, at, common));
    const size = after - before;
    steps.push({ index, kind, before, after, size, error, significance: size / error });
  });
  return steps;
}

function misfit({ level }: StretchOfValues): number {
  const centre = mean(level);
  return level.reduce((sum, value) => sum + (value - centre) ** 2, 0);
}

/** Variance of a stretch's line at a time, in units of the variance of one value; a drift shared by all is as good as known. */
function varianceAt({ times, drift }: StretchOfValues, at: number, common: boolean): number {
  if (common || drift === 0) return 1 / times.length;
  const centre = mean(times);
  const spread = times.reduce((sum, time) => sum + (time - centre) ** 2, 0);
  return 1 / times.length + (at - centre) ** 2 / spread;
}

function mean(values: readonly number[]): number {
  return values.reduce((a, b) => a + b, 0) / values.length;
}

/** Scatter from the differences of neighbours: steps and drifts hardly touch it. */
function neighbourSigma(y: readonly number[]): number {
  if (y.length < 2) return NaN;
  const ranges = y.slice(1).map((value, i) => Math.abs(value - y[i]));
  // Many equal values (a rounded figure) make the median zero: fall back on the mean range.
  return median(ranges) / 0.954 || ranges.reduce((a, b) => a + b, 0) / ranges.length / 1.128;
}

function drawInOutliers(y: readonly number[], sigma: number): number[] {
  return y.map((value, i) => {
    const near = Float64Array.from(y.slice(Math.max(0, i - 2), i + 3)).sort();
    const centre = (near[(near.length - 1) >> 1] + near[near.length >> 1]) / 2;
    return Math.min(Math.max(value, centre - 3 * sigma), centre + 3 * sigma);
  });
}

function neighbourCorrelation(residual: readonly number[]): number {
  let [top, bottom] = [0, 0];
  residual.forEach((value, i) => {
    bottom += value * value;
    if (i > 0) top += value * residual[i - 1];
  });
  return bottom > 0 ? top / bottom : 0;
}
