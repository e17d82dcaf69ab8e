import { describe, expect, it } from 'vitest';
import { chooseSummaryStars } from '../../src/stars/summary-stars.js';
import { trailFigure } from '../../src/stars/trail.js';
import { seededRandom } from '../scenes/random.js';
import { tableOf } from '../scenes/star-table.js';

const trailOf = (options: Parameters<typeof tableOf>[0]) => {
  const table = tableOf(options);
  return trailFigure(table, chooseSummaryStars(table, 1000, 800), 1000, 800);
};

describe('trail figure', () => {
  it('finds the common axis', () => {
    const angle = 125;
    const e = 0.15;
    const trail = trailOf({
      count: 80,
      e1: e * Math.cos((2 * angle * Math.PI) / 180),
      e2: e * Math.sin((2 * angle * Math.PI) / 180),
    });
    expect(Math.abs(trail.angleDeg! - angle)).toBeLessThan(0.7);
    expect(trail.coherence!).toBeGreaterThan(0.95);
    expect(trail.significance!).toBeGreaterThan(50);
  });

  it('finds little in round stars or in a pattern that turns around the centre', () => {
    expect(trailOf({ count: 150, eError: 0.03 }).significance!).toBeLessThan(3.5);
    const turn = (f: (a: number) => number) => (x: number, y: number) =>
      0.1 * f(2 * Math.atan2(y - 400, x - 500));
    expect(trailOf({ count: 300, e1: turn(Math.cos), e2: turn(Math.sin) }).coherence!).toBeLessThan(0.35);
  });

  it('listens to the stars that know: a few bright ones among many faint ones', () => {
    const table = tableOf({ count: 200, e1: 0.1, e2: 0, eError: 0.1 });
    for (let k = 0; k < 10; k += 1) {
      table.e1[k * 20] = 0.1;
      table.e2[k * 20] = k % 2 === 0 ? 0.001 : -0.001;
      table.eError[k * 20] = 0.001;
      table.axis1[k * 20] = table.e1[k * 20];
      table.axis2[k * 20] = table.e2[k * 20];
      table.axisError[k * 20] = 0.001;
    }
    const { angleDeg } = trailFigure(table, chooseSummaryStars(table, 1000, 800), 1000, 800);
    // Equal weights would leave 0.1 / sqrt(190) across 0.1: two degrees.
    const turn = (((angleDeg ?? NaN) + 90) % 180) - 90;
    expect(Math.abs(turn)).toBeLessThan(0.6);
  });

  it('does not follow a bright star with a companion that nobody saw', () => {
    const table = tableOf({ count: 60, e1: 0.1, e2: 0, eError: 0.02, seed: 5 });
    const { angleDeg } = trailFigure(table, chooseSummaryStars(table, 1000, 800), 1000, 800);
    table.eError[7] = 0.001;
    table.axisError[7] = 0.001;
    table.e2[7] = 0.08;
    table.axis2[7] = 0.08;
    const beside = trailFigure(table, chooseSummaryStars(table, 1000, 800), 1000, 800);
    // Its weight alone, 0.0014^-2 against 60 of 0.02^-2, would turn the axis by fifteen degrees.
    const turn = ((beside.angleDeg! - angleDeg! + 270) % 180) - 90;
    expect(Math.abs(turn)).toBeLessThan(2);
  });

  it('is significant by chance as often as a chi of two degrees of freedom', () => {
    const squares = Array.from({ length: 300 }, (_, seed) => {
      const table = tableOf({ count: 40, eError: 1, seed: seed + 1 });
      for (let k = 0; k < 40; k += 1) {
        const error = 0.002 * 1.1 ** k;
        for (const name of ['e1', 'e2', 'axis1', 'axis2'] as const) table[name][k] *= error;
        table.eError[k] = error;
        table.axisError[k] = error;
      }
      return trailFigure(table, chooseSummaryStars(table, 1000, 800), 1000, 800).significance! ** 2 / 2;
    });
    // 600 degrees of freedom: 6 % of scatter, three times that.
    expect(Math.abs(squares.reduce((sum, s) => sum + s, 0) / 300 - 1)).toBeLessThan(0.18);
    expect(squares.filter((s) => 2 * s > 9.21).length).toBeLessThan(10);
  });

  it('believes noise-weighted axes, but not where they plainly differ from those of the fits', () => {
    const angleWith = (turnDeg: number): number => {
      const table = tableOf({ count: 60, e1: 0.1, e2: 0, eError: 0.01, seed: 4 });
      const random = seededRandom(9);
      for (let k = 0; k < 60; k += 1) {
        table.axis1[k] = 0.1 * Math.cos((turnDeg * Math.PI) / 90) + 0.001 * random.normal();
        table.axis2[k] = 0.1 * Math.sin((turnDeg * Math.PI) / 90) + 0.001 * random.normal();
        table.axisError[k] = 0.001;
      }
      const { angleDeg } = trailFigure(table, chooseSummaryStars(table, 1000, 800), 1000, 800);
      return ((angleDeg! + 90) % 180) - 90;
    };
    // The fits alone leave 0.01 / sqrt(60) across 0.1: 0.37 degrees; the weighted ones a tenth of it.
    expect(Math.abs(angleWith(0))).toBeLessThan(0.15);
    expect(Math.abs(angleWith(8))).toBeLessThan(1.5);
  });

  it('listens to bright stars whose weighted shapes are shorter than their fits', () => {
    const table = tableOf({ count: 60, e1: 0.5, e2: 0, eError: 0.02, seed: 6 });
    const random = seededRandom(3);
    for (let k = 0; k < 6; k += 1) {
      // Half of the variance saved, a tenth of the length lost.
      table.eError[k] = 0.0014;
      table.axisError[k] = 0.001;
      table.e1[k] = 0.5 + 0.0014 * random.normal();
      table.e2[k] = 0.0014 * random.normal();
      table.axis1[k] = 0.45 + 0.001 * random.normal();
      table.axis2[k] = 0.001 * random.normal();
    }
    const trail = trailFigure(table, chooseSummaryStars(table, 1000, 800), 1000, 800);
    // Six of 0.0015 across 0.5 know the axis to 0.035 degrees, the 54 others to 0.16.
    expect(Math.abs(((trail.angleDeg! + 90) % 180) - 90)).toBeLessThan(0.1);
    expect(trail.significance!).toBeGreaterThan(500);
  });

  it('is null for fewer than two stars', () => {
    expect(trailOf({ count: 1 })).toEqual({ angleDeg: null, coherence: null, significance: null });
  });
});
