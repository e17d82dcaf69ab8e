import { describe, expect, it } from 'vitest';
import { parseScenario } from '../../src/simulate/load-scenario.js';
import { planNight } from '../../src/simulate/plan-night.js';
import type { ScenarioInput } from '../../src/simulate/scenario.js';
import { applyMosaic, exposeSensor, makeSensorDefects, stepAdu, topAdu } from '../../src/simulate/sensor.js';
import type { FilePixels } from '../../src/simulate/sensor.js';

const quiet = { hotPixelsPerMegapixel: 0, cosmicRaysPerMinute: 0, darkElectronsPerSecond: 0 };

function expose(
  camera: ScenarioInput['camera'],
  electrons: number | Float32Array,
  more: Partial<ScenarioInput> = {},
): FilePixels {
  const scenario = parseScenario(
    { name: 'x', frames: 1, camera: { widthPx: 300, heightPx: 200, ...quiet, ...camera }, ...more },
    'test',
  );
  const light = typeof electrons === 'number' ? new Float32Array(300 * 200).fill(electrons) : electrons;
  return exposeSensor(light, scenario, planNight(scenario)[0], makeSensorDefects(scenario));
}

function moments(pixels: FilePixels): [mean: number, variance: number] {
  let sum = 0;
  for (const value of pixels) sum += value;
  const mean = sum / pixels.length;
  let squares = 0;
  for (const value of pixels) squares += (value - mean) ** 2;
  return [mean, squares / pixels.length];
}

describe('exposeSensor', () => {
  it.each([3, 200, 5000])(
    'counts %d electrons with Poisson and read noise: mean and variance',
    (electrons) => {
      const camera = { electronsPerAdu: 0.5, readNoiseElectrons: 4, pedestalAdu: 300 };
      const [mean, variance] = moments(expose(camera, electrons));
      const expected = (electrons + 16) / 0.25 + 1 / 12;
      // Four standard errors of mean and variance over 60,000 pixels.
      expect(Math.abs(mean - (electrons / 0.5 + 300))).toBeLessThan(4 * Math.sqrt(expected / 60_000));
      expect(Math.abs(variance / expected - 1)).toBeLessThan(4 * Math.sqrt(2.3 / 60_000));
    },
  );

  it('clips at the full well and at the top of the converter', () => {
    expect(
      Math.max(...expose({ fullWellElectrons: 1000, electronsPerAdu: 1, readNoiseElectrons: 0 }, 5000)),
    ).toBe(1500);
    expect(Math.max(...expose({ bitDepth: 12, electronsPerAdu: 1 }, 20_000))).toBe(4095);
    expect(
      Math.max(...expose({ bitDepth: 12, scaledTo16: true, electronsPerAdu: 1 }, 90_000, {})),
    ).toBeLessThanOrEqual(65_520);
  });

  it('stores steps of 4 from a 14-bit converter scaled to 16 bits', () => {
    const pixels = expose({ bitDepth: 14, scaledTo16: true, electronsPerAdu: 1 }, 800);
    expect(pixels.every((value) => value % 4 === 0)).toBe(true);
    expect(new Set(pixels).size).toBeGreaterThan(20);
  });

  it('never goes below zero, and gives the kind of pixels asked for', () => {
    expect(Math.min(...expose({ pedestalAdu: 0, readNoiseElectrons: 9 }, 0))).toBe(0);
    expect(expose({}, 10, { pixels: 'float32' })).toBeInstanceOf(Float32Array);
    const bytes = expose({ pedestalAdu: 5, electronsPerAdu: 10 }, 4000, { pixels: 'uint8' });
    expect(bytes).toBeInstanceOf(Uint8Array);
    expect(Math.max(...bytes)).toBe(255);
  });

  it('spills the charge of a saturated pixel along its column when it bleeds', () => {
    const spot = (): Float32Array => {
      const light = new Float32Array(300 * 200);
      light[100 * 300 + 150] = 100_000;
      return light;
    };
    const camera = { fullWellElectrons: 20_000, electronsPerAdu: 1, pedestalAdu: 0 };
    const column = (pixels: FilePixels): number =>
      Array.from({ length: 200 }, (_, y) => pixels[y * 300 + 150]).filter((v) => v > 15_000).length;
    expect(column(expose(camera, spot()))).toBe(1);
    expect(column(expose({ ...camera, bleeds: true }, spot()))).toBe(5);
  });

  it('adds hot pixels, cosmic rays, glow, row pattern and dead columns', () => {
    const base = { electronsPerAdu: 1, pedestalAdu: 100 };
    const bright = (camera: ScenarioInput['camera']): number =>
      expose({ ...base, ...camera }, 50).filter((value) => value > 260).length;
    expect(bright({})).toBe(0);
    expect(bright({ hotPixelsPerMegapixel: 2000 })).toBeGreaterThan(20);
    expect(bright({ cosmicRaysPerMinute: 20 })).toBeGreaterThan(20);
    const glow = expose({ ...base, ampGlowElectronsPerSecond: 3 }, 50);
    expect(glow[299]).toBeGreaterThan(glow[199 * 300] + 150);
    const dead = expose({ ...base, deadColumns: 1 }, 5000);
    expect(Array.from({ length: 300 }, (_, x) => dead[x]).filter((value) => value < 1000)).toHaveLength(1);
    const rows = (pixels: FilePixels): number => {
      const means = new Float32Array(200);
      for (let k = 0; k < pixels.length; k++) means[Math.floor(k / 300)] += pixels[k] / 300;
      return Math.sqrt(moments(means)[1]);
    };
    expect(rows(expose({ ...base, bandingElectrons: 5 }, 50))).toBeGreaterThan(4);
    expect(rows(expose(base, 50))).toBeLessThan(1);
  });
});

describe('applyMosaic', () => {
  it('weakens red and blue sites, where the pattern has them', () => {
    const scenario = parseScenario(
      { name: 'x', camera: { widthPx: 16, heightPx: 16, mosaic: 'GRBG' } },
      'test',
    );
    const image = new Float32Array(256).fill(100);
    applyMosaic(image, scenario);
    expect([image[0], image[17]]).toEqual([100, 100]);
    expect(image[1]).toBeCloseTo(75, 4);
    expect(image[16]).toBeCloseTo(60, 4);
  });
});

describe('topAdu and stepAdu', () => {
  it('follow the converter', () => {
    const of = (camera: object): [number, number] => {
      const scenario = parseScenario({ name: 'x', camera }, 'test');
      return [topAdu(scenario), stepAdu(scenario)];
    };
    expect(of({})).toEqual([65_535, 1]);
    expect(of({ bitDepth: 14 })).toEqual([16_383, 1]);
    expect(of({ bitDepth: 14, scaledTo16: true })).toEqual([65_532, 4]);
  });
});
