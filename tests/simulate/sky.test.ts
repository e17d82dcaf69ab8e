import { describe, expect, it } from 'vitest';
import { parseScenario } from '../../src/simulate/load-scenario.js';
import { planNight } from '../../src/simulate/plan-night.js';
import type { ScenarioInput } from '../../src/simulate/scenario.js';
import { skyMap, smoothPattern, throughputMap, vignetting } from '../../src/simulate/sky.js';

const setUp = (
  changes: Partial<ScenarioInput>,
): [ReturnType<typeof parseScenario>, ReturnType<typeof planNight>] => {
  const scenario = parseScenario({ name: 'x', frames: 2, night: { ditherPx: 0 }, ...changes }, 'test');
  return [scenario, planNight(scenario)];
};

describe('vignetting', () => {
  it('is 1 in the middle and loses the stated part at the corner', () => {
    const [scenario] = setUp({ telescope: { vignettingPercent: 20 } });
    expect(vignetting(scenario, 500.5, 350.5)).toBe(1);
    expect(vignetting(scenario, 1000.5, 700.5)).toBeCloseTo(0.8, 10);
  });
});

describe('skyMap', () => {
  it('grows by the stated part from edge to edge along its direction', () => {
    const [scenario, [plan]] = setUp({
      telescope: { vignettingPercent: 0 },
      sky: { gradientPercent: 10, gradientDirectionDeg: 90, spread: 0 },
    });
    const sky = skyMap(scenario, plan);
    expect(sky(500.5, 350.5)).toBeCloseTo(plan.skyElectrons, 8);
    expect((sky(500.5, 700.5) - sky(500.5, 0.5)) / plan.skyElectrons).toBeCloseTo(0.1, 8);
    expect(sky(900, 350.5)).toBeCloseTo(sky(100, 350.5), 8);
  });

  it('carries a nebula with the stars: it turns over at the flip', () => {
    const [scenario, plans] = setUp({
      telescope: { vignettingPercent: 0 },
      sky: { gradientPercent: 0, spread: 0 },
      stars: { nebula: 3 },
      night: { flipBefore: 2, ditherPx: 0 },
    });
    const [before, after] = plans.map((plan) => skyMap(scenario, plan));
    let bright = 0;
    for (let x = 50; x < 1000; x += 90) {
      const there = before(x, 200);
      bright = Math.max(bright, there);
      expect(after(1001 - x, 701 - 200) / there).toBeCloseTo(1, 2);
    }
    expect(bright).toBeGreaterThan(plans[0].skyElectrons);
  });
});

describe('throughputMap', () => {
  it('is even without cloud and patchy with it, by the stated amount on the whole', () => {
    const [scenario, plans] = setUp({
      telescope: { vignettingPercent: 0 },
      faults: [{ kind: 'cloud', frames: [2], course: 'steady', transparency: 0.5, patchiness: 0.4 }],
    });
    const spread = (index: number): [number, number] => {
      const map = throughputMap(scenario, plans[index]);
      const values: number[] = [];
      for (let x = 20; x < 1000; x += 40) for (let y = 20; y < 700; y += 40) values.push(map(x, y));
      const mean = values.reduce((a, b) => a + b, 0) / values.length;
      return [mean, Math.max(...values) - Math.min(...values)];
    };
    const [clearMean, clearRange] = spread(0);
    const [cloudMean, cloudRange] = spread(1);
    expect(clearRange).toBeCloseTo(0, 12);
    expect(cloudRange).toBeGreaterThan(0.05);
    expect(cloudMean / clearMean).toBeGreaterThan(0.35);
    expect(cloudMean / clearMean).toBeLessThan(0.65);
  });
});

describe('smoothPattern', () => {
  it('stays within its bounds and changes little from pixel to pixel', () => {
    const pattern = smoothPattern(1, 1000, 700, 'test');
    for (let x = 0; x < 1000; x += 37) {
      expect(Math.abs(pattern(x, 300))).toBeLessThan(1.5);
      expect(Math.abs(pattern(x + 1, 300) - pattern(x, 300))).toBeLessThan(0.03);
    }
  });
});
