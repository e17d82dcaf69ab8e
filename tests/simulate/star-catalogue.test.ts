import { describe, expect, it } from 'vitest';
import { parseScenario } from '../../src/simulate/load-scenario.js';
import { makeStarCatalogue, placeOnFrame } from '../../src/simulate/star-catalogue.js';

const scenario = parseScenario(
  { name: 'x', stars: { count: 3000, slope: 2, faintest: 10, brightest: 1000 } },
  'test',
);

describe('makeStarCatalogue', () => {
  it('has the number of stars in the frame that was asked for', () => {
    const { x, y, count } = makeStarCatalogue(scenario);
    let inside = 0;
    for (let i = 0; i < count; i++) if (Math.abs(x[i]) < 500 && Math.abs(y[i]) < 350) inside++;
    expect(Math.abs(inside - 3000)).toBeLessThan(4 * Math.sqrt(3000));
  });

  it('has power-law fluxes: with slope 2 the number above F goes as 1/F', () => {
    const { flux, count } = makeStarCatalogue(scenario);
    const above = (limit: number): number => flux.filter((f) => f > limit).length / count;
    expect(Math.min(...flux)).toBeGreaterThanOrEqual(10);
    expect(Math.max(...flux)).toBeLessThanOrEqual(1000);
    expect(above(20)).toBeCloseTo((1 / 20 - 1 / 1000) / (1 / 10 - 1 / 1000), 1);
  });

  it('adds a cluster where it is wanted', () => {
    const clustered = parseScenario(
      { name: 'x', stars: { count: 0, cluster: { count: 500, radius: 0.1, centreX: 0.5 } } },
      'test',
    );
    const { x, count } = makeStarCatalogue(clustered);
    const mean = x.reduce((a, b) => a + b, 0) / count;
    expect(Math.abs(mean - 0.5 * Math.hypot(500, 350))).toBeLessThan(10);
  });
});

describe('placeOnFrame', () => {
  it('turns about the sensor centre, then shifts; a flip turns by half a turn', () => {
    const pose = { shiftX: 3, shiftY: -2, scale: 1, rotationDeg: 0, flipped: false };
    expect(placeOnFrame(pose, 100, 80, 10, 5)).toEqual([63.5, 43.5]);
    const [x, y] = placeOnFrame({ ...pose, rotationDeg: 180, flipped: true }, 100, 80, 10, 5);
    expect([x, y]).toEqual([expect.closeTo(43.5, 10), expect.closeTo(33.5, 10)]);
  });

  it('stretches with the focal length', () => {
    const pose = { shiftX: 0, shiftY: 0, scale: 1.01, rotationDeg: 0, flipped: false };
    expect(placeOnFrame(pose, 100, 80, 10, 0)[0]).toBeCloseTo(50.5 + 10.1, 10);
  });
});
