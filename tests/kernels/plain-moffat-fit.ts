import { choleskyInPlace, choleskyInverse, choleskySolveInPlace } from '../../src/stats/index.js';
import { moffatAxes, moffatLog, widthOnSensor } from '../../src/stars/moffat-profile.js';

/** What the kernels `fitMoffat` and `voteOnGamma` are given, as plain numbers. */
export interface PlainStar {
  readonly columns: ArrayLike<number>;
  readonly rows: ArrayLike<number>;
  readonly values: ArrayLike<number>;
  readonly nodes: Float64Array;
  /** x, y, a, b, c, gamma. */
  readonly start: readonly number[];
  readonly variance: number;
  readonly photonFactor: number;
  readonly levelVariance: number;
  readonly mostSteps: number;
  readonly tolerance: number;
  readonly rounding: number;
}

/** Profile of height 1 and its derivatives by x, y, a, b, c, gamma at one pixel. */
export function plainProfile(
  p: readonly number[],
  nodes: Float64Array,
  column: number,
  row: number,
): number[] {
  const [, x, y, a, b, c, gamma] = p;
  const sums = new Array<number>(7).fill(0);
  for (let k = 0; k < nodes.length; k += 3) {
    const dx = column - x + nodes[k];
    const dy = row - y + nodes[k + 1];
    const q = a * dx * dx + 2 * b * dx * dy + c * dy * dy;
    const f = nodes[k + 2] * Math.exp(moffatLog(q, gamma));
    const scale = 2 ** gamma - 1;
    const base = 1 + scale * q;
    const isGaussian = Math.abs(gamma) < 1e-4;
    // -d ln f / dq, and d ln f / d gamma.
    const steepness = isGaussian ? Math.LN2 : scale / gamma / base;
    const byGamma = isGaussian
      ? -0.5 * Math.LN2 ** 2 * q * (1 - q)
      : Math.log(base) / gamma ** 2 - ((scale + 1) * Math.LN2 * q) / (gamma * base);
    if (!(f > 0)) continue;
    const parts = [
      1,
      2 * steepness * (a * dx + b * dy),
      2 * steepness * (b * dx + c * dy),
      -steepness * dx * dx,
      -2 * steepness * dx * dy,
      -steepness * dy * dy,
      byGamma,
    ];
    parts.forEach((part, u) => (sums[u] += f * part));
  }
  return sums;
}

interface Look {
  /** Height, x, y, a, b, c, gamma. */
  readonly p: readonly number[];
  readonly lines: readonly number[][];
  readonly residual: readonly number[];
  readonly cost: number;
}

const dot = (a: readonly number[], b: readonly number[]): number => a.reduce((s, v, k) => s + v * b[k], 0);

function look(star: PlainStar, given: readonly number[]): Look | null {
  const [, , , a, b, c] = given;
  if (!(a > 0 && c > 0 && a * c - b * b > 0)) return null;
  const values = Array.from(star.values);
  const pixels = values.map((_, k) => plainProfile(given, star.nodes, star.columns[k], star.rows[k]));
  const lines = [0, 1, 2, 3, 4, 5, 6].map((u) => pixels.map((pixel) => pixel[u]));
  const height = dot(lines[0], values) / dot(lines[0], lines[0]);
  if (!(height > 0)) return null;
  const residual = values.map((v, k) => v - height * lines[0][k]);
  return { p: [height, ...given.slice(1)], lines, residual, cost: dot(residual, residual) };
}

/** Normal matrix (row-major, size x size) and gradient of a star of height 1. */
function equations(
  { lines, residual }: Look,
  size: number,
): { normal: Float64Array; gradient: Float64Array } {
  const used = lines.slice(0, size);
  return {
    normal: Float64Array.from(used.flatMap((u) => used.map((v) => dot(u, v)))),
    gradient: Float64Array.from(used, (u) => dot(u, residual)),
  };
}

const moved = ({ p }: Look, step: Float64Array): number[] =>
  p.map((v, k) => (k === 0 ? v + step[0] : k < 6 ? v + step[k] / p[0] : v));

/** Levenberg-Marquardt with gamma held: the last look, and the parameters after the last step. */
function fitShape(star: PlainStar): { last: Look; solution: readonly number[]; isAtRest: boolean } | null {
  let here = look(star, [0, ...star.start]);
  if (here === null) return null;
  let damping = 1e-3;
  let growth = 2;
  for (let steps = 0; steps < star.mostSteps; steps += 1) {
    const { normal, gradient } = equations(here, 6);
    const factor = normal.map((v, k) => (k % 7 === 0 ? v * (1 + damping) : v));
    const step = gradient.slice();
    let isBetter = false;
    if (choleskyInPlace(factor, 6)) {
      choleskySolveInPlace(factor, 6, step);
      const promise = step.reduce((s, d, k) => s + d * (damping * normal[7 * k] * d + gradient[k]), 0);
      const solution = moved(here, step);
      if (promise < Math.max(star.tolerance * here.cost, star.rounding * here.p[0] ** 2 * normal[0]))
        return { last: here, solution, isAtRest: true };
      const trial = look(star, solution);
      if (trial !== null && trial.cost <= here.cost) {
        isBetter = true;
        const gain = (here.cost - trial.cost) / promise;
        damping *= Math.max(1 / 3, 1 - (2 * gain - 1) ** 3);
        growth = 2;
        here = trial;
      }
    }
    if (!isBetter) {
      damping = Math.max(damping, 1e-12) * growth;
      growth *= 2;
      if (damping > 1e16) break;
    }
  }
  return { last: here, solution: here.p, isAtRest: false };
}

/** Sandwich covariance of all parameters of the star, the unsure level of the sky included; and the residuals' excess, without the part that the model follows when `levered`. */
function errors(
  star: PlainStar,
  { lines, residual, p }: Look,
  height: number,
  size: number,
  isLevered: boolean,
) {
  const used = lines.slice(0, size);
  const factor = Float64Array.from(used.flatMap((u) => used.map((v) => dot(u, v))));
  if (!choleskyInPlace(factor, size)) return null;
  const inverse = choleskyInverse(factor, size);
  const follow = residual.map((_, k) =>
    used.map((_, u) => used.reduce((s, line, v) => s + inverse[u * size + v] * line[k], 0)),
  );
  const covariance = (u: number, v: number): number => {
    const noise = follow.reduce(
      (s, w, k) => s + w[u] * w[v] * (star.variance + star.photonFactor * height * lines[0][k]),
      0,
    );
    const level = follow.reduce((s, w) => s + w[u], 0) * follow.reduce((s, w) => s + w[v], 0);
    return (noise + star.levelVariance * level) / height ** 2;
  };
  let excess = 0;
  residual.forEach((r, k) => {
    const leverage = isLevered ? used.reduce((s, line, u) => s + line[k] * follow[k][u], 0) : 0;
    excess += ((r * r) / Math.max(0.2, 1 - leverage) - star.variance) * height * lines[0][k];
  });
  return { p, covariance, excessFactor: excess / (height ** 2 * dot(lines[0], lines[0])) };
}

export function plainFit(star: PlainStar) {
  const fit = fitShape(star);
  if (fit === null) return null;
  const { last, solution, isAtRest } = fit;
  const result = errors(star, last, solution[0], 6, false);
  if (result === null) return null;
  const [, , , a, b, c, gamma] = solution;
  const shape = { a, b, c, gamma };
  const { major, minor, angle } = moffatAxes(shape);
  const isPoint = star.nodes.length === 3;
  const width = (direction: number, own: number): number =>
    isPoint ? own : widthOnSensor(shape, star.nodes, direction, own);
  return {
    solution,
    isAtRest,
    cost: last.cost,
    light: solution[0] * last.lines[0].reduce((s, g) => s + g, 0),
    excessFactor: result.excessFactor,
    covariance: [3, 4, 5].flatMap((u) => [3, 4, 5].slice(0, u - 2).map((v) => result.covariance(u, v))),
    major: width(angle, major),
    minor: width(angle + Math.PI / 2, minor),
  };
}

export function plainVote(star: PlainStar) {
  const fit = fitShape(star);
  if (fit === null) return null;
  const { last, solution, isAtRest } = fit;
  const result = errors(star, last, solution[0], 7, true);
  const { normal, gradient } = equations(last, 7);
  const six = equations(last, 6).normal;
  if (result === null || !choleskyInPlace(normal, 7) || !choleskyInPlace(six, 6)) return null;
  choleskySolveInPlace(normal, 7, gradient);
  const slopes = Float64Array.from({ length: 6 }, (_, u) => -dot(last.lines[u], last.lines[6]));
  choleskySolveInPlace(six, 6, slopes);
  return {
    solution,
    isAtRest,
    gammaStep: gradient[6] / solution[0],
    gammaError: Math.sqrt(result.covariance(6, 6)),
    excessFactor: result.excessFactor,
    slopes: [...slopes.subarray(1)],
  };
}
