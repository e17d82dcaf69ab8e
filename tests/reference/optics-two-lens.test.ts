import { describe, expect, it } from 'vitest';
import { closeRaySurfaces, seidelSums, thinLens, thirdOrderSurfaces } from './third-order.js';

describe('third-order arithmetic of the spacing checks', () => {
  it('gives the sums that an independent open optics library publishes for a plano-convex lens (f 25 mm, SF11)', () => {
    // R = 19.93 mm, 7 mm thick, n_d = 1.78472 (Schott), entrance pupil 25.4 mm, field 14 degrees:
    // expected values of Optiland's own tests (tests/test_aberrations.py, MIT), opposite sign convention.
    const lens = [
      { curvature: 1 / 19.93, indexAfter: 1.78472, gapMm: 7 },
      { curvature: 0, indexAfter: 1, gapMm: 0 },
    ];
    const sums = seidelSums(lens, 12.7, Math.tan((14 * Math.PI) / 180));
    // The library takes the index from a dispersion formula: 1e-5 in n, some 1e-4 in the sums.
    expect(sums.spherical / 1.730769).toBeCloseTo(1, 3);
    expect(Math.abs(sums.coma) / 0.142537).toBeCloseTo(1, 2);
    expect(sums.astigmatism / 0.352955).toBeCloseTo(1, 3);
    expect(sums.petzval / 0.221201).toBeCloseTo(1, 3);
  });

  it('gives a thin lens at the stop S_III = H^2 K and S_IV = H^2 K / n whatever its shape (Welford, thin lenses)', () => {
    for (const shape of [-2, 0, 1, 3]) {
      const sums = seidelSums(thinLens(1 / 500, shape, 1.5168, 0), 50, 0.02);
      const unit = sums.invariant ** 2 / 500;
      expect(sums.astigmatism / unit).toBeCloseTo(1, 10);
      expect(sums.petzval / unit).toBeCloseTo(1 / 1.5168, 10);
    }
  });
});

const OBJECTIVE_FOCAL_MM = 500;
const REDUCER_FOCAL_MM = 200;
const NOMINAL_MM = 55;
const HALF_APERTURE_MM = 50;
const FIELD = 0.02;
const INDEX = 1.5168;

/** Objective and reducer with the image `distanceMm` behind the reducer; `shape` bends the reducer. */
function rig(distanceMm: number, shape: number) {
  const objectDistance = distanceMm / (1 - distanceMm / REDUCER_FOCAL_MM);
  return [
    ...thinLens(1 / OBJECTIVE_FOCAL_MM, 0.75, INDEX, OBJECTIVE_FOCAL_MM - objectDistance),
    ...thinLens(1 / REDUCER_FOCAL_MM, shape, INDEX, 0),
  ];
}

/** Surfaces at the image height that the nominal spacing gives to the field angle, micrometres: the sensor does not grow with the image. */
function surfacesMicron(distanceMm: number, shape: number) {
  const { tangentialMm, sagittalMm } = thirdOrderSurfaces(
    seidelSums(rig(distanceMm, shape), HALF_APERTURE_MM, FIELD),
  );
  const sameHeight = ((1 - NOMINAL_MM / REDUCER_FOCAL_MM) / (1 - distanceMm / REDUCER_FOCAL_MM)) ** 2;
  return {
    medial: 500 * (tangentialMm + sagittalMm) * sameHeight,
    tangential: 1000 * tangentialMm * sameHeight,
    sagittal: 1000 * sagittalMm * sameHeight,
  };
}

/** Bending that flattens the medial surface at the nominal distance, by bisection. */
function flatteningShape(): number {
  let [low, high] = [2.5, 20];
  const value = (shape: number) => surfacesMicron(NOMINAL_MM, shape).medial;
  expect(Math.sign(value(low))).not.toBe(Math.sign(value(high)));
  for (let i = 0; i < 60; i += 1) {
    const middle = (low + high) / 2;
    if (Math.sign(value(middle)) === Math.sign(value(low))) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

describe('a telescope and a reducer as two thin lenses', () => {
  const shape = flatteningShape();

  it('focus where the reducer equation says', () => {
    const sums = seidelSums(rig(NOMINAL_MM, shape), HALF_APERTURE_MM, FIELD);
    expect(sums.backFocusMm).toBeCloseTo(NOMINAL_MM, 9);
    expect(-HALF_APERTURE_MM / sums.imageConvergence / OBJECTIVE_FOCAL_MM).toBeCloseTo(
      1 - NOMINAL_MM / REDUCER_FOCAL_MM,
      9,
    );
  });

  it('agree with an exact chief ray and the close fans about it', () => {
    const field = 0.002;
    const system = rig(NOMINAL_MM + 2, shape);
    const third = thirdOrderSurfaces(seidelSums(system, HALF_APERTURE_MM, field));
    const exact = closeRaySurfaces(system, Math.atan(field), NOMINAL_MM + 2);
    // What is left is of fifth order: the square of the field.
    expect(exact.tangentialMm / third.tangentialMm).toBeCloseTo(1, 2);
    expect(exact.sagittalMm / third.sagittalMm).toBeCloseTo(1, 2);
  });

  it('have a medial surface whose curvature crosses zero at the nominal spacing, in proportion to the spacing error', () => {
    const curvature = [-1, -0.5, 0, 0.5, 1].map((error) => surfacesMicron(NOMINAL_MM + error, shape).medial);
    expect(curvature[2]).toBeCloseTo(0, 6);
    expect(Math.sign(curvature[0]!)).toBe(-Math.sign(curvature[4]!));
    // Straight within 10 % over +- 1 mm of 55.
    expect(curvature[1]! / curvature[0]!).toBeGreaterThan(0.45);
    expect(curvature[1]! / curvature[0]!).toBeLessThan(0.55);
    expect(curvature[3]! / curvature[4]!).toBeGreaterThan(0.45);
    expect(curvature[3]! / curvature[4]!).toBeLessThan(0.55);
  });

  it('move the tangential surface three times as far as the sagittal one', () => {
    const at = (error: number) => surfacesMicron(NOMINAL_MM + error, shape);
    const change = (at(0.5).tangential - at(0).tangential) / (at(0.5).sagittal - at(0).sagittal);
    // The Petzval sum stays; third order makes the ratio exact but for the quadratic term of half a millimetre.
    expect(change).toBeGreaterThan(2.95);
    expect(change).toBeLessThan(3.05);
  });
});
