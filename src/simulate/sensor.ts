import { makeRandom } from './random.js';
import type { FramePlan } from './plan-night.js';
import type { Scenario } from './scenario.js';

/** Defects of one sensor, the same in every frame. */
export interface SensorDefects {
  /** Row-major indices of hot pixels, and their current in electrons per second. */
  readonly hot: readonly { readonly index: number; readonly electronsPerSecond: number }[];
  /** 0-based columns that collect no light. */
  readonly deadColumns: readonly number[];
}

/** Draw the sensor's own defects. */
export function makeSensorDefects(scenario: Scenario): SensorDefects {
  const { camera } = scenario;
  const random = makeRandom(scenario.seed, 'sensor');
  const pixels = camera.widthPx * camera.heightPx;
  const count = random.poisson((camera.hotPixelsPerMegapixel * pixels) / 1e6);
  return {
    hot: Array.from({ length: count }, () => ({
      index: Math.floor(random.uniform() * pixels),
      electronsPerSecond: 2 * Math.exp(1.6 * Math.abs(random.normal())),
    })),
    deadColumns: Array.from({ length: camera.deadColumns }, () =>
      Math.floor(random.uniform() * camera.widthPx),
    ),
  };
}

/** Pixels as a file stores them. */
export type FilePixels = Float32Array | Uint16Array | Uint8Array;

/** Relative response of the colours of a mosaic to starlight and sky. */
const COLOUR_RESPONSE: Readonly<Record<string, number>> = { R: 0.75, G: 1, B: 0.6 };

/** Weaken an image in place by the colour filter over each pixel; nothing happens on a monochrome sensor. */
export function applyMosaic(image: Float32Array, scenario: Scenario): void {
  const { mosaic, widthPx } = scenario.camera;
  if (!mosaic) return;
  const response = [...mosaic].map((colour) => COLOUR_RESPONSE[colour]);
  for (let k = 0; k < image.length; k++) {
    const x = k % widthPx;
    const y = (k - x) / widthPx;
    image[k] *= response[(y % 2) * 2 + (x % 2)];
  }
}

/** Largest value the file can hold, ADU. */
export function topAdu(scenario: Scenario): number {
  const { bitDepth, scaledTo16 } = scenario.camera;
  if (scenario.pixels === 'uint8') return 255;
  return scaledTo16 ? (2 ** bitDepth - 1) * 2 ** (16 - bitDepth) : 2 ** bitDepth - 1;
}

/** Step between neighbouring values of the file, ADU. */
export function stepAdu(scenario: Scenario): number {
  return scenario.camera.scaledTo16 ? 2 ** (16 - scenario.camera.bitDepth) : 1;
}

/**
 * Expose the sensor: expected light (electrons per pixel, row-major) becomes the values of the file, ADU.
 *
 * In order: dark current, amplifier glow and hot pixels; Poisson statistics; cosmic rays; full well with or without
 * bleeding; read noise and row pattern; gain, pedestal, converter range and steps.
 */
export function exposeSensor(
  light: Float32Array,
  scenario: Scenario,
  plan: FramePlan,
  defects: SensorDefects,
): FilePixels {
  const { camera } = scenario;
  const { widthPx, heightPx } = camera;
  const random = makeRandom(scenario.seed, 'photons', plan.spacingMm ?? '', plan.number);
  const electrons = light;
  addDarkSignal(electrons, scenario, plan, defects);
  for (const column of defects.deadColumns) {
    for (let y = 0; y < heightPx; y++) electrons[y * widthPx + column] *= 0.02;
  }
  for (let k = 0; k < electrons.length; k++) electrons[k] = random.poisson(electrons[k]);
  addCosmicRays(electrons, scenario, plan);
  limitToFullWell(electrons, scenario);

  const out = emptyPixels(scenario, light.length);
  const top = topAdu(scenario);
  const step = stepAdu(scenario);
  const perElectron = 1 / camera.electronsPerAdu;
  for (let y = 0, k = 0; y < heightPx; y++) {
    const row = camera.bandingElectrons > 0 ? camera.bandingElectrons * random.normal() : 0;
    for (let x = 0; x < widthPx; x++, k++) {
      const signal = electrons[k] + row + camera.readNoiseElectrons * random.normal();
      const adu = Math.round((signal * perElectron + camera.pedestalAdu) / step) * step;
      out[k] = adu < 0 ? 0 : adu > top ? top : adu;
    }
  }
  return out;
}

function emptyPixels(scenario: Scenario, length: number): FilePixels {
  if (scenario.pixels === 'float32') return new Float32Array(length);
  return scenario.pixels === 'uint8' ? new Uint8Array(length) : new Uint16Array(length);
}

function addDarkSignal(
  electrons: Float32Array,
  scenario: Scenario,
  plan: FramePlan,
  defects: SensorDefects,
): void {
  const { camera } = scenario;
  const dark = camera.darkElectronsPerSecond * plan.exposureSeconds;
  for (let k = 0; k < electrons.length; k++) electrons[k] += dark;
  for (const { index, electronsPerSecond } of defects.hot) {
    electrons[index] += electronsPerSecond * plan.exposureSeconds;
  }
  if (camera.ampGlowElectronsPerSecond === 0) return;
  const peak = camera.ampGlowElectronsPerSecond * plan.exposureSeconds;
  const scale = 0.12 * camera.widthPx;
  for (let y = 0, k = 0; y < camera.heightPx; y++) {
    for (let x = 0; x < camera.widthPx; x++, k++) {
      electrons[k] += peak * Math.exp(-Math.hypot(camera.widthPx - x, y) / scale);
    }
  }
}

function addCosmicRays(electrons: Float32Array, scenario: Scenario, plan: FramePlan): void {
  const { camera } = scenario;
  const random = makeRandom(scenario.seed, 'cosmic rays', plan.spacingMm ?? '', plan.number);
  const count = random.poisson((camera.cosmicRaysPerMinute * plan.exposureSeconds) / 60);
  for (let n = 0; n < count; n++) {
    let x = random.uniform() * camera.widthPx;
    let y = random.uniform() * camera.heightPx;
    const angle = 2 * Math.PI * random.uniform();
    const length = 1 + Math.floor(-4 * Math.log(1 - random.uniform()));
    const charge = 400 * Math.exp(0.8 * random.normal());
    for (let i = 0; i < length; i++) {
      const column = Math.floor(x);
      const row = Math.floor(y);
      if (column >= 0 && row >= 0 && column < camera.widthPx && row < camera.heightPx) {
        electrons[row * camera.widthPx + column] += charge;
      }
      x += Math.cos(angle);
      y += Math.sin(angle);
    }
  }
}

/** Cut at the full well; a bleeding sensor spills the excess up and down its column. */
function limitToFullWell(electrons: Float32Array, scenario: Scenario): void {
  const { widthPx, heightPx, fullWellElectrons, bleeds } = scenario.camera;
  for (let k = 0; k < electrons.length; k++) {
    if (electrons[k] <= fullWellElectrons) continue;
    const excess = (electrons[k] - fullWellElectrons) / 2;
    electrons[k] = fullWellElectrons;
    if (!bleeds) continue;
    const column = k % widthPx;
    for (const step of [-1, 1]) {
      let left = excess;
      for (let y = Math.floor(k / widthPx) + step; left > 0 && y >= 0 && y < heightPx; y += step) {
        const index = y * widthPx + column;
        const room = fullWellElectrons - electrons[index];
        if (room <= 0) continue;
        const taken = Math.min(room, left);
        electrons[index] += taken;
        left -= taken;
      }
    }
  }
}
