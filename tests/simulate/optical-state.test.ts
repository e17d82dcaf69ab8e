import { describe, expect, it } from 'vitest';
import { focusAt, traceRays } from '../../src/simulate/optical-state.js';
import type { OpticalState } from '../../src/simulate/optical-state.js';
import { makeRays } from '../../src/simulate/rays.js';

const flat: OpticalState = {
  widthPx: 800,
  heightPx: 600,
  pitchMicron: 4,
  focalRatio: 5,
  obstruction: 0,
  focusMicron: 0,
  tiltX: 0,
  tiltY: 0,
  tangentialMicron: 0,
  sagittalMicron: 0,
  comaMicron: 0,
  comaCentreX: 0,
  comaCentreY: 0,
  rotationRad: 0,
  rotationCentreX: 400.5,
  rotationCentreY: 300.5,
};
const rays = makeRays(400, 0, { at: () => [0, 0], jitter: [0, 0, 0] });

function landing(
  state: OpticalState,
  x: number,
  y: number,
): { xx: number; xy: number; yy: number; xs: number[]; ys: number[] } {
  const xs = new Float64Array(rays.count);
  const ys = new Float64Array(rays.count);
  traceRays(state, rays, x, y, xs, ys);
  const mean = (f: (i: number) => number): number =>
    Array.from({ length: rays.count }, (_, i) => f(i)).reduce((a, b) => a + b, 0) / rays.count;
  return {
    xx: mean((i) => xs[i] ** 2),
    xy: mean((i) => xs[i] * ys[i]),
    yy: mean((i) => ys[i] ** 2),
    xs: [...xs],
    ys: [...ys],
  };
}

describe('traceRays', () => {
  it('a defocus makes a disc of diameter |z|/N with variance D^2/16 per axis', () => {
    const spot = landing({ ...flat, focusMicron: 100 }, 400.5, 300.5);
    const diameterPx = 100 / 5 / 4;
    expect(spot.xx).toBeCloseTo(diameterPx ** 2 / 16, 10);
    expect(spot.yy).toBeCloseTo(diameterPx ** 2 / 16, 10);
    expect(2 * Math.max(...spot.xs.map((x, i) => Math.hypot(x, spot.ys[i])))).toBeCloseTo(diameterPx, 1);
  });

  it('astigmatism: radial variance from the tangential surface, the other from the sagittal one', () => {
    const corner = landing({ ...flat, tangentialMicron: 60, sagittalMicron: 20 }, 800.5, 300.5);
    const r2 = (400 / 500) ** 2;
    expect(corner.xx).toBeCloseTo((60 * r2) ** 2 / (16 * 25 * 16), 8);
    expect(corner.yy).toBeCloseTo((20 * r2) ** 2 / (16 * 25 * 16), 8);
  });

  it('coma flares away from its centre, grows linearly, and leaves the centroid alone', () => {
    const state = { ...flat, comaMicron: 24 };
    const near = landing(state, 600.5, 300.5);
    const far = landing(state, 800.5, 300.5);
    const sum = far.xs.reduce((a, b) => a + b, 0) / rays.count;
    expect(sum).toBeCloseTo(0, 6);
    // The flare ends three coefficients from the head: 24 um at the corner, here 0.8 of the way, in 4 um pixels.
    expect(Math.max(...far.xs) - Math.min(...far.xs)).toBeGreaterThan(0.8 * 6 * 0.95);
    expect(Math.max(...far.xs)).toBeGreaterThan(-Math.min(...far.xs));
    expect(far.xx / near.xx).toBeCloseTo(4, 6);
    expect(landing(state, 400.5, 300.5).xx).toBeCloseTo(0, 12);
  });

  it('field rotation trails stars around its centre by distance times angle', () => {
    const state = { ...flat, rotationRad: 0.01 };
    const spot = landing(state, 700.5, 300.5);
    expect(spot.xx).toBeCloseTo(0, 12);
    expect(spot.yy).toBeCloseTo((300 * 0.01) ** 2 / 12, 3);
  });
});

describe('focusAt', () => {
  it('adds the plane of the tilt to both surfaces', () => {
    const state = { ...flat, focusMicron: 10, tiltX: 30, tiltY: -20 };
    const corner = focusAt(state, 800.5, 600.5);
    expect(corner.tangential).toBeCloseTo(10 + 30 * 0.8 - 20 * 0.6, 10);
    expect(corner.sagittal).toBe(corner.tangential);
  });
});
