import { coreNumbers, type NormalCore } from '../../src/stats/index.js';

const within = (value: number, most: number): number => Math.max(-most, Math.min(most, value));

/** Normal core of numbers by plain loops, for the kernels to agree with. */
export function plainCore(
  values: readonly number[],
  start: { readonly mean: number; readonly sd: number },
  below: number,
  above: number,
): NormalCore {
  const [, , partMean, partVariance, a, b, c, d, atRest, wholeSteps, farShift, farStretch] = coreNumbers(
    below,
    above,
  );
  let { mean, sd } = start;
  let used = 0;
  for (let round = 0; round < 12; round += 1) {
    const [from, to, centre] = [mean - below * sd, mean + above * sd, mean];
    const off = values.filter((v) => v >= from && v <= to).map((v) => v - centre);
    used = off.length;
    if (used < 8 || !(sd > 0)) break;
    const inMean = off.reduce((s, v) => s + v, 0) / used;
    const inVariance = off.reduce((s, v) => s + v * v, 0) / used - inMean * inMean;
    if (!(inVariance > 0)) break;
    const dMean = inMean / sd - partMean;
    const dVariance = inVariance / (sd * sd) - partVariance;
    const part = round < wholeSteps ? 1 : 0.5;
    const shift = sd * within(part * (a * dMean + b * dVariance), farShift);
    const x = within(part * (c * dMean + d * dVariance), farStretch);
    const stretch = 1 + x + (x * x) / 2;
    const change = Math.abs(shift) + Math.abs(stretch - 1) * sd;
    mean += shift;
    sd *= stretch;
    if (change < (atRest / Math.sqrt(used)) * sd) break;
  }
  return { mean, sd, used };
}
