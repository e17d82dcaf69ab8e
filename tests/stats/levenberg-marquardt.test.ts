import { describe, expect, it } from 'vitest';
import { levenbergMarquardt } from '../../src/stats/levenberg-marquardt.js';

/** Least-squares problem of a model y = f(x; p) with its gradient. */
function curveProblem(
  x: readonly number[],
  y: readonly number[],
  model: (x: number, p: Float64Array) => readonly [value: number, gradient: readonly number[]],
) {
  return (p: Float64Array, normal: Float64Array, gradient: Float64Array): number => {
    normal.fill(0);
    gradient.fill(0);
    let cost = 0;
    x.forEach((xi, i) => {
      const [value, g] = model(xi, p);
      const r = y[i] - value;
      cost += r * r;
      g.forEach((gu, u) => {
        gradient[u] += gu * r;
        g.forEach((gv, v) => (normal[u * p.length + v] += gu * gv));
      });
    });
    return cost;
  };
}

describe('Levenberg-Marquardt', () => {
  it('solves a straight line in one or two steps', () => {
    const x = [0, 1, 2, 3];
    const y = x.map((v) => 2 + 3 * v);
    const fit = levenbergMarquardt(
      curveProblem(x, y, (v, p) => [p[0] + p[1] * v, [1, v]]),
      [0, 0],
      { tolerance: 1e-9 },
    );
    expect(fit.converged).toBe(true);
    expect(fit.parameters[0]).toBeCloseTo(2, 7);
    expect(fit.parameters[1]).toBeCloseTo(3, 7);
  });

  it('turns back where the model is not defined', () => {
    const x = [1, 2, 3, 4];
    const y = x.map((v) => Math.log(0.5 * v));
    const fit = levenbergMarquardt(
      (p, normal, gradient) =>
        p[0] <= 0
          ? Infinity
          : curveProblem(x, y, (v, q) => [Math.log(q[0] * v), [1 / q[0]]])(p, normal, gradient),
      [8],
      { tolerance: 1e-10 },
    );
    expect(fit.parameters[0]).toBeCloseTo(0.5, 7);
  });

  it('comes back at once from a start that is not defined', () => {
    const fit = levenbergMarquardt(() => NaN, [1, 2]);
    expect(fit.converged).toBe(false);
    expect(fit.iterations).toBe(0);
    expect([...fit.parameters]).toEqual([1, 2]);
  });

  it('stops early when told that little is left to gain', () => {
    const x = Array.from({ length: 20 }, (_, i) => i / 4);
    const y = x.map((v, i) => 3 * Math.exp(-0.7 * v) + 0.05 * Math.sin(i * 12.9898));
    const problem = curveProblem(x, y, (v, p) => {
      const e = Math.exp(-p[1] * v);
      return [p[0] * e, [e, -p[0] * v * e]];
    });
    const exact = levenbergMarquardt(problem, [1, 0.2], { tolerance: 1e-12 });
    const early = levenbergMarquardt(problem, [1, 0.2], { tolerance: 1e-12, costTolerance: 1e-3 });
    expect(early.iterations).toBeLessThan(exact.iterations);
    expect(early.sumOfSquares).toBeLessThan(1.01 * exact.sumOfSquares);
  });
});
