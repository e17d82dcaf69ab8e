import { describe, expect, it } from 'vitest';
import type { SweepFit } from '../../../src/night/sweep/sweep-fit.js';
import { cornersOf, surfaceOf, symmetryCentre } from '../../../src/night/sweep/sweep-surface.js';
import type { SweepData, SweepFrame, SweepTile } from '../../../src/night/sweep/types.js';

const covariance = new Float64Array(64);
for (let k = 0; k < 8; k += 1) covariance[k * 9] = 1;
const fit = { shared: Float64Array.from([5, 3, 4, 20, -10, 0, 0, 0]), covariance } as unknown as SweepFit;
const data = { widthPx: 800, heightPx: 600 } as SweepData;

describe('figures of the surface', () => {
  const surface = surfaceOf(fit, 2, data);

  it('are in micrometres: tilt by direction, slope and span over the corners', () => {
    expect(surface.tiltDirectionDeg).toBeCloseTo(53.13, 2);
    expect(surface.slope).toBeCloseTo(10, 9);
    expect(surface.span).toBeCloseTo(2 * (0.8 * 6 + 0.6 * 8), 9);
    expect(surface.spanError).toBeCloseTo(2 * Math.hypot(1.6, 1.2), 9);
  });

  it('split into medial curvature and astigmatism', () => {
    expect([surface.medial, surface.astigmatism]).toEqual([10, 30]);
    expect(surface.medialError).toBeCloseTo(Math.SQRT2, 9);
  });

  it('give every corner its height against the centre', () => {
    const corners = cornersOf(surface, data);
    expect(corners.map((c) => c.medialMicron)).toEqual([10, 19.6, 0.4, 10].map((v) => expect.closeTo(v, 9)));
  });
});

describe('the centre of symmetry', () => {
  const tiles = (cu: number, cv: number): SweepTile[] =>
    [-0.7, 0, 0.7].flatMap((u) =>
      [-0.5, 0, 0.5].map((v) => ({
        u,
        v,
        tangential: { value: 30 * (u * u + v * v - 2 * cu * u - 2 * cv * v), error: 1 },
        sagittal: { value: 0, error: 1 },
      })),
    ) as unknown as SweepTile[];
  const frames = [1, 2, 3] as unknown as SweepFrame[];

  it('is found from the parting of the surfaces', () => {
    const centre = symmetryCentre(frames, fit, tiles(0.2, -0.1), 1)!;
    expect(centre.u).toBeCloseTo(0.2, 6);
    expect(centre.v).toBeCloseTo(-0.1, 6);
  });

  it('is not told where there is too little astigmatism', () => {
    const flat = { ...fit, shared: Float64Array.from([5, 3, 4, 20, 19.5, 0, 0, 0]) };
    expect(symmetryCentre(frames, flat, tiles(0, 0), 1)).toBeNull();
  });
});
