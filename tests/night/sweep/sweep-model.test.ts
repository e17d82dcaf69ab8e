import { describe, expect, it } from 'vitest';
import { starResponse } from '../../../src/night/sweep/star-response.js';
import { newDerivatives, predictCell, predictWithDerivatives } from '../../../src/night/sweep/sweep-model.js';

const response = starResponse(0);
const cell = {
  u: 0.4,
  v: -0.3,
  r2: 0.25,
  iso: 0,
  plus: 0,
  cross: 0,
  isoError: 1,
  shearError: 1,
  stars: 1,
  momentOverFwhm2: 0.2,
};
const shared = [12, 30, -20, 40, -15, Math.log(0.05), 0.2, Math.log(1.5)];
const own = { logMoment: Math.log(1.4), plus: 0.1, cross: -0.05 };

function predict(p: readonly number[], o = own) {
  const into = { iso: 0, plus: 0, cross: 0 };
  predictCell(response, p, o, cell, -60, into);
  return into;
}

describe('a star of a sweep as the model sees it', () => {
  it('has the derivatives that differences have', () => {
    const exact = newDerivatives();
    predictWithDerivatives(response, shared, own, cell, -60, exact);
    expect(exact.iso).toBe(predict(shared).iso);
    for (let k = 0; k < 11; k += 1) {
      const step = k < 5 ? 0.02 : 1e-4;
      const moved = [1, -1].map((sign) => {
        const p = shared.map((value, i) => (i === k ? value + sign * step : value));
        const o = {
          logMoment: own.logMoment + (k === 8 ? sign * step : 0),
          plus: own.plus + (k === 9 ? sign * step : 0),
          cross: own.cross + (k === 10 ? sign * step : 0),
        };
        return predict(p, o);
      });
      // Interpolated response: slopes to 1 % or 1e-3 px^2.
      for (const [name, d] of [
        ['iso', exact.dIso],
        ['plus', exact.dPlus],
        ['cross', exact.dCross],
      ] as const) {
        const numeric = (moved[0]![name] - moved[1]![name]) / (2 * step);
        expect(Math.abs(d[k]! - numeric)).toBeLessThan(1e-3 + 0.01 * Math.abs(numeric));
      }
    }
  });

  it('is round at the centre, and wide along the radius where the tangential focus is far', () => {
    const into = { iso: 0, plus: 0, cross: 0 };
    const still = { logMoment: 0, plus: 0, cross: 0 };
    predictCell(
      response,
      [0, 0, 0, 80, 0, Math.log(0.05), 0, 0],
      still,
      { ...cell, u: 0, v: 0, r2: 0 },
      50,
      into,
    );
    expect(into.plus).toBe(0);
    predictCell(
      response,
      [0, 0, 0, 80, 0, Math.log(0.05), 0, 0],
      still,
      { ...cell, u: 1, v: 0, r2: 1 },
      0,
      into,
    );
    expect(into.plus).toBeGreaterThan(0);
    expect(into.cross).toBeCloseTo(0, 12);
  });
});
