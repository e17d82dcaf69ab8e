import { describe, expect, it } from 'vitest';
import { causeOf, frameTruth } from '../../src/simulate/frame-truth.js';
import type { LoneFrameTruth } from '../../src/simulate/frame-truth.js';
import { parseScenario } from '../../src/simulate/load-scenario.js';
import { planNight } from '../../src/simulate/plan-night.js';
import { renderFrame } from '../../src/simulate/render-frame.js';
import type { ScenarioInput } from '../../src/simulate/scenario.js';
import { makeSensorDefects } from '../../src/simulate/sensor.js';
import { makeStarCatalogue } from '../../src/simulate/star-catalogue.js';
import { makeStarImage } from '../../src/simulate/star-image.js';

function truthOf(changes: Partial<ScenarioInput>): LoneFrameTruth & { readonly pixels: ArrayLike<number> } {
  const scenario = parseScenario(
    { name: 'x', frames: 1, camera: { widthPx: 300, heightPx: 200, hotPixelsPerMegapixel: 0 }, ...changes },
    'test',
  );
  const plan = planNight(scenario)[0];
  const star = makeStarImage(scenario, plan);
  const pixels = renderFrame(scenario, plan, makeStarCatalogue(scenario), makeSensorDefects(scenario), star);
  return { ...frameTruth(scenario, plan, star), pixels };
}

describe('frameTruth', () => {
  it('knows the background that the pixels have', () => {
    const truth = truthOf({ stars: { count: 0 } });
    const values = Array.from(truth.pixels).sort((a, b) => a - b);
    expect(Math.abs(values[values.length >> 1] - truth.background.level)).toBeLessThan(1);
    const spread =
      (values[Math.floor(0.8413 * values.length)] - values[Math.floor(0.1587 * values.length)]) / 2;
    // Vignetting and gradient widen the spread of a whole frame a little.
    expect(spread / truth.background.noise).toBeGreaterThan(0.97);
    expect(spread / truth.background.noise).toBeLessThan(1.15);
  });

  it('states the plane of the sky as its gradient, the round fall-off beside it', () => {
    const planted = { gradientPercent: 20, gradientDirectionDeg: 30, spread: 0 };
    const flat = truthOf({ telescope: { vignettingPercent: 0 }, sky: planted }).background;
    const dark = truthOf({ telescope: { vignettingPercent: 40 }, sky: planted }).background;
    expect(flat.gradientDirectionDeg).toBeCloseTo(30, 6);
    // The fall-off dims the two axes of an oblong frame differently.
    expect(Math.abs(dark.gradientDirectionDeg - 30)).toBeLessThan(2);
    expect([flat.vignettingPercent, dark.vignettingPercent]).toEqual([0, 40]);
    // Planted from corner to corner in the sky's light; pedestal and dark current take their part of the level.
    expect(flat.gradientPercent).toBeLessThan(20);
    // The fall-off dims the far ends of the slope, by no more than itself.
    expect(dark.gradientPercent * dark.level).toBeLessThan(flat.gradientPercent * flat.level);
    expect(dark.gradientPercent * dark.level).toBeGreaterThan(0.6 * flat.gradientPercent * flat.level);
    const none = truthOf({ telescope: { vignettingPercent: 40 }, sky: { gradientPercent: 0, spread: 0 } });
    expect(none.background.gradientPercent).toBeLessThan(1e-9);
  });

  it('gives the trail of a drift its length and axis', () => {
    const truth = truthOf({
      camera: { widthPx: 300, heightPx: 200, angleDeg: 20 },
      tracking: { jitterRaArcsec: 0, jitterDecArcsec: 0 },
      faults: [{ kind: 'guiding', axis: 'ra', driftArcsec: 6 }],
    });
    expect(truth.tracking.rmsAlongArcsec).toBeCloseTo(6 / Math.sqrt(12), 2);
    expect(truth.tracking.axisDeg).toBeCloseTo(20, 6);
    expect(truth.axisDeg).toBeCloseTo(20, 0);
    expect(truth.elongation).toBeGreaterThan(1.5);
    expect(truth.planted).toEqual([{ code: 'guiding-trail', strength: 1 }]);
  });

  it('sees a tilt as a soft side when the middle is in focus on one side of it', () => {
    const truth = truthOf({
      optics: { tilt: { spanMicron: 120, directionDeg: 0 } },
      focus: { startMicron: 60 },
    });
    const left = truth.stars.filter((s) => s.x < 60).map((s) => s.fwhmPx);
    const right = truth.stars.filter((s) => s.x > 240).map((s) => s.fwhmPx);
    expect(Math.min(...right)).toBeGreaterThan(1.5 * Math.max(...left));
  });

  it('plants the Moon where it shines', () => {
    const moonlit = truthOf({ sky: { moonAndTwilight: true }, night: { start: '2026-09-27T22:00:00Z' } });
    expect(moonlit.planted.map(({ code }) => code)).toEqual(['bright-sky']);
    expect(moonlit.skyLight.moonAltitudeDeg).toBeGreaterThan(10);
    expect(truthOf({}).planted).toEqual([]);
  });
});

describe('causeOf', () => {
  it('uses the names of the diagnosis', () => {
    expect(['guiding', 'wind', 'cloud'].map(causeOf)).toEqual(['guiding-trail', 'wind-shake', 'cloud']);
  });
});
