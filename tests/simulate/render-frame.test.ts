import { describe, expect, it } from 'vitest';
import { parseScenario } from '../../src/simulate/load-scenario.js';
import { planNight } from '../../src/simulate/plan-night.js';
import { frameLight, renderFrame } from '../../src/simulate/render-frame.js';
import type { ScenarioInput } from '../../src/simulate/scenario.js';
import { makeSensorDefects } from '../../src/simulate/sensor.js';
import { makeStarImage } from '../../src/simulate/star-image.js';
import type { StarCatalogue } from '../../src/simulate/star-catalogue.js';

/** One star of 20,000 electrons above the air a second, in the middle. */
const oneStar: StarCatalogue = {
  count: 1,
  x: Float64Array.of(0),
  y: Float64Array.of(0),
  flux: Float64Array.of(20_000),
};

function setUp(
  changes: Partial<ScenarioInput>,
): { light: Float32Array; again: () => Float32Array } & ReturnType<typeof details> {
  const made = details(changes);
  const again = (): Float32Array => frameLight(made.scenario, made.plan, oneStar, made.star);
  return { ...made, light: again(), again };
}
function details(changes: Partial<ScenarioInput>): {
  scenario: ReturnType<typeof parseScenario>;
  plan: ReturnType<typeof planNight>[number];
  star: ReturnType<typeof makeStarImage>;
} {
  const scenario = parseScenario(
    {
      name: 'x',
      frames: 1,
      camera: { widthPx: 200, heightPx: 160 },
      sky: { electronsPerSecond: 0.1, gradientPercent: 0, spread: 0 },
      telescope: { vignettingPercent: 0 },
      night: { exposureSeconds: 100, ditherPx: 0 },
      ...changes,
    },
    'test',
  );
  const plan = planNight(scenario)[0];
  return { scenario, plan, star: makeStarImage(scenario, plan) };
}

describe('frameLight', () => {
  it.each([
    ['in focus', {}],
    ['out of focus', { focus: { startMicron: 150 } }],
    ['trailed', { faults: [{ kind: 'guiding' as const, driftArcsec: 8 }] }],
  ])('keeps the energy of a star %s, all but what its drawn wings leave out', (_name, changes) => {
    const { light, plan } = setUp(changes);
    const stars = light.reduce((sum, value) => sum + value - plan.skyElectrons, 0);
    const sent = 20_000 * 100 * plan.transparency;
    // Kolmogorov wings beyond 60 px hold about 0.3 % of a 2.5 px star.
    expect(stars / sent).toBeGreaterThan(0.99);
    expect(stars / sent).toBeLessThan(1.0005);
  });

  it('is smooth where the wings take over from the core', () => {
    const { light } = setUp({
      focus: { startMicron: 100 },
      sky: { electronsPerSecond: 1, gradientPercent: 0, spread: 0 },
    });
    // Along the row through the star, neighbouring pixels of the wing differ by less than the slope of the profile allows.
    for (let x = 108; x < 150; x++) {
      const ratio = light[79 * 200 + x + 1] / light[79 * 200 + x];
      expect(ratio).toBeLessThan(1.002);
      expect(ratio).toBeGreaterThan(0.6);
    }
  });

  it('draws galaxies and trails', () => {
    const plain = setUp({}).light.reduce((a, b) => a + b, 0);
    expect(setUp({ stars: { galaxies: 5 } }).light.reduce((a, b) => a + b, 0)).toBeGreaterThan(plain + 1000);
    const streaked = setUp({ faults: [{ kind: 'streak', electronsPerPx: 500 }] }).light.reduce(
      (a, b) => a + b,
      0,
    );
    expect(streaked - plain).toBeGreaterThan(500 * 120);
  });
});

describe('renderFrame', () => {
  it('gives equal pixels for equal seeds', () => {
    const make = (seed: number): ArrayLike<number> => {
      const { scenario, plan, star } = setUp({ seed });
      return renderFrame(scenario, plan, oneStar, makeSensorDefects(scenario), star);
    };
    expect(make(5)).toEqual(make(5));
    expect(make(5)).not.toEqual(make(6));
  });
});
