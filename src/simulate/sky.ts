import { makeRandom } from './random.js';
import type { FramePlan } from './plan-night.js';
import type { Scenario } from './scenario.js';

/** Share of the light that the optics pass at a place of the frame, 1 at the centre. */
export function vignetting(scenario: Scenario, x: number, y: number): number {
  const { widthPx, heightPx } = scenario.camera;
  const r2 =
    ((x - (widthPx + 1) / 2) ** 2 + (y - (heightPx + 1) / 2) ** 2) / ((widthPx ** 2 + heightPx ** 2) / 4);
  return 1 - (scenario.telescope.vignettingPercent / 100) * r2;
}

/**
 * A smooth random pattern over the frame, mean near 0 and values within about [-1, 1]: a few plane waves
 * of half a frame to two frames.
 */
export function smoothPattern(
  seed: number,
  widthPx: number,
  heightPx: number,
  ...labels: readonly (string | number)[]
): (x: number, y: number) => number {
  const random = makeRandom(seed, 'pattern', ...labels);
  const size = Math.max(widthPx, heightPx);
  const waves = Array.from({ length: 4 }, () => {
    const k = (2 * Math.PI) / (size * (0.5 + 1.5 * random.uniform()));
    const angle = 2 * Math.PI * random.uniform();
    return { kx: k * Math.cos(angle), ky: k * Math.sin(angle), phase: 2 * Math.PI * random.uniform() };
  });
  return (x, y) => {
    let sum = 0;
    for (const wave of waves) sum += Math.sin(wave.kx * x + wave.ky * y + wave.phase);
    return sum / 2.8;
  };
}

/** Share of the above-air light that reaches the sensor at a place of the frame: air, cloud, dew, filter, vignetting. */
export function throughputMap(scenario: Scenario, plan: FramePlan): (x: number, y: number) => number {
  const { widthPx, heightPx } = scenario.camera;
  const pattern = smoothPattern(scenario.seed, widthPx, heightPx, 'cloud', plan.number);
  const whole = plan.transparency * plan.filter.throughput;
  const uneven = plan.cloudLoss > 0 ? (plan.cloudPatchiness * plan.cloudLoss) / (1 - plan.cloudLoss) : 0;
  return (x, y) =>
    whole * Math.max(0, 1 + (uneven ? uneven * pattern(x, y) : 0)) * vignetting(scenario, x, y);
}

/** Light of the sky (and a nebula) at a place of the frame, electrons per pixel and exposure, vignetting included. */
export function skyMap(scenario: Scenario, plan: FramePlan): (x: number, y: number) => number {
  const { widthPx, heightPx } = scenario.camera;
  const angle = (plan.skyGradientDirectionDeg * Math.PI) / 180;
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  const span = widthPx * Math.abs(c) + heightPx * Math.abs(s);
  const slope = plan.skyGradientPercent / 100 / span;
  const nebula = scenario.stars.nebula * scenario.sky.electronsPerSecond * plan.exposureSeconds;
  // The nebula moves with the stars: its pattern is laid out in the field's own coordinates.
  const pattern = smoothPattern(scenario.seed, widthPx, heightPx, 'nebula');
  const turn = (-plan.pose.rotationDeg * Math.PI) / 180;
  const tc = Math.cos(turn);
  const ts = Math.sin(turn);
  return (x, y) => {
    const dx = x - (widthPx + 1) / 2;
    const dy = y - (heightPx + 1) / 2;
    let level = plan.skyElectrons * (1 + slope * (dx * c + dy * s));
    if (nebula > 0) {
      const fx = tc * (dx - plan.pose.shiftX) - ts * (dy - plan.pose.shiftY);
      const fy = ts * (dx - plan.pose.shiftX) + tc * (dy - plan.pose.shiftY);
      const bright = Math.max(0, pattern(fx, fy)) ** 2;
      level += nebula * plan.transparency * bright;
    }
    return Math.max(0, level) * vignetting(scenario, x, y);
  };
}
