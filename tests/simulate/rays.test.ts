import { describe, expect, it } from 'vitest';
import { makeRays } from '../../src/simulate/rays.js';
import type { TrackingPath } from '../../src/simulate/rays.js';

const still: TrackingPath = { at: () => [0, 0], jitter: [0, 0, 0] };

function covariance(x: Float64Array, y: Float64Array): [number, number, number, number, number] {
  const n = x.length;
  let mx = 0;
  let my = 0;
  for (let i = 0; i < n; i++) {
    mx += x[i] / n;
    my += y[i] / n;
  }
  let xx = 0;
  let xy = 0;
  let yy = 0;
  for (let i = 0; i < n; i++) {
    xx += (x[i] - mx) ** 2 / n;
    xy += ((x[i] - mx) * (y[i] - my)) / n;
    yy += (y[i] - my) ** 2 / n;
  }
  return [mx, my, xx, xy, yy];
}

describe('makeRays', () => {
  it.each([0, 0.35])('fills an annulus of obstruction %d with its exact moments', (obstruction) => {
    const rays = makeRays(200, obstruction, still);
    const [mx, my, xx, xy, yy] = covariance(rays.u, rays.v);
    const exact = (1 + obstruction ** 2) / 4;
    expect([mx, my, xy].every((m) => Math.abs(m) < 1e-12)).toBe(true);
    expect(xx).toBeCloseTo(exact, 12);
    expect(yy).toBeCloseTo(exact, 12);
    const radii = [...rays.u].map((u, i) => Math.hypot(u, rays.v[i]));
    expect(Math.max(...radii)).toBeLessThan(1.02);
    expect(Math.min(...radii)).toBeGreaterThan(obstruction * 0.97 - 1e-9);
  });

  it('spreads a steady drift evenly: variance length^2/12', () => {
    const rays = makeRays(256, 0, { at: (t) => [6 * t, 0], jitter: [0, 0, 0] });
    const [mx, , xx, xy] = covariance(rays.trackX, rays.trackY);
    expect(mx).toBeCloseTo(0, 10);
    expect(xx).toBeCloseTo(3, 3);
    expect(xy).toBe(0);
  });

  it('gives fast motion its covariance exactly', () => {
    const rays = makeRays(64, 0, { at: () => [0, 0], jitter: [0.5, 0.2, 0.3] });
    const [, , xx, xy, yy] = covariance(rays.trackX, rays.trackY);
    expect(xx).toBeCloseTo(0.5, 10);
    expect(xy).toBeCloseTo(0.2, 10);
    expect(yy).toBeCloseTo(0.3, 10);
  });

  it('does not tie the moment of a ray to its place in the pupil', () => {
    const rays = makeRays(512, 0, still);
    const [, , , ut] = covariance(rays.u, rays.time);
    const [, , , vt] = covariance(rays.v, rays.time);
    const squared = rays.u.map((u, i) => u * u + rays.v[i] ** 2);
    const [, , , rt] = covariance(squared, rays.time);
    for (const tie of [ut, vt, rt]) expect(Math.abs(tie)).toBeLessThan(0.01);
  });

  it('refuses a pupil that lets nothing through', () => {
    expect(() => makeRays(10, 1, still)).toThrow(RangeError);
  });
});
