import { describe, expect, it } from 'vitest';
import { drawGalaxy, makeGalaxies } from '../../src/simulate/galaxies.js';
import { parseScenario } from '../../src/simulate/load-scenario.js';
import { planNight } from '../../src/simulate/plan-night.js';
import { makeStarImage } from '../../src/simulate/star-image.js';

const scenario = parseScenario(
  { name: 'x', frames: 1, stars: { galaxies: 7 }, night: { ditherPx: 0 } },
  'test',
);
const plan = planNight(scenario)[0];
const star = makeStarImage(scenario, plan);

describe('makeGalaxies', () => {
  it('makes as many as asked, within the frame', () => {
    const galaxies = makeGalaxies(scenario);
    expect(galaxies).toHaveLength(7);
    for (const { x, y } of galaxies) {
      expect(Math.abs(x)).toBeLessThanOrEqual(500);
      expect(Math.abs(y)).toBeLessThanOrEqual(350);
    }
  });
});

describe('drawGalaxy', () => {
  const draw = (scalePx: number, axisRatio: number): { sum: number; xx: number; yy: number } => {
    const image = new Float32Array(1000 * 700);
    const galaxy = { x: 0, y: 0, flux: 1, scalePx, axisRatio, angleDeg: 0 };
    drawGalaxy(image, 1000, 700, plan.pose, galaxy, 1000, star);
    let [sum, xx, yy] = [0, 0, 0];
    for (let k = 0; k < image.length; k++) {
      const dx = (k % 1000) + 1 - 500.5;
      const dy = Math.floor(k / 1000) + 1 - 350.5;
      sum += image[k];
      xx += image[k] * dx * dx;
      yy += image[k] * dy * dy;
    }
    return { sum, xx: xx / sum, yy: yy / sum };
  };

  it('keeps the light and is wider than a star, flattened as its axes say', () => {
    const point = draw(0.001, 1);
    const disc = draw(4, 0.5);
    expect(disc.sum).toBeGreaterThan(930);
    expect(disc.sum).toBeLessThanOrEqual(1000.5);
    // An exponential disc has second moments of three scale lengths squared per axis; 160 points end where its last percent begins.
    expect((disc.xx - point.xx) / (3 * 16)).toBeGreaterThan(0.85);
    expect((disc.xx - point.xx) / (3 * 16)).toBeLessThan(1.05);
    expect((disc.yy - point.yy) / (disc.xx - point.xx)).toBeCloseTo(0.25, 1);
  });
});
