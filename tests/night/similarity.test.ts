import { describe, expect, it } from 'vitest';
import {
  composeSimilarity,
  fitSimilarity,
  identity,
  scaleAndRotation,
  type Similarity,
} from '../../src/night/similarity.js';

const turn = (scale: number, deg: number, tx: number, ty: number): Similarity => ({
  a: scale * Math.cos((deg * Math.PI) / 180),
  b: scale * Math.sin((deg * Math.PI) / 180),
  tx,
  ty,
});
const at = ({ a, b, tx, ty }: Similarity, x: number, y: number) => [a * x - b * y + tx, b * x + a * y + ty];

describe('similarity transforms', () => {
  it('compose in order', () => {
    const [first, second] = [turn(1.1, 30, 5, -2), turn(0.9, -70, 1, 8)];
    const [x, y] = at(first, 3, 4) as [number, number];
    const both = at(composeSimilarity(first, second), 3, 4);
    const apart = at(second, x, y);
    expect(both[0]).toBeCloseTo(apart[0]!, 12);
    expect(both[1]).toBeCloseTo(apart[1]!, 12);
    expect(composeSimilarity(identity, second)).toEqual(second);
  });

  it('tell scale and rotation', () => {
    expect(scaleAndRotation(turn(1.02, 179, 0, 0)).scale).toBeCloseTo(1.02);
    expect(scaleAndRotation(turn(1, -90, 0, 0)).rotationDeg).toBeCloseTo(-90);
    expect(scaleAndRotation({ a: -1, b: -0, tx: 0, ty: 0 }).rotationDeg).toBe(180);
  });

  it('are recovered exactly from pairs of points, left-out points aside', () => {
    const truth = turn(1.003, 181.5, 100, -40);
    const x = Float64Array.of(0, 100, 30, 70, 5);
    const y = Float64Array.of(0, 20, 90, 60, 5);
    const X = Float64Array.from(x, (_, i) => at(truth, x[i]!, y[i]!)[0]!);
    const Y = Float64Array.from(x, (_, i) => at(truth, x[i]!, y[i]!)[1]!);
    X[4] = 1e6;
    const fit = fitSimilarity(x, y, X, Y, Int32Array.of(0, 1, 2, 3, -1))!;
    for (const part of ['a', 'b', 'tx', 'ty'] as const) expect(fit[part]).toBeCloseTo(truth[part], 9);
  });

  it('cannot be told from one pair or from coincident points', () => {
    const one = Float64Array.of(1, 1);
    expect(fitSimilarity(one, one, one, one, Int32Array.of(0, -1))).toBeNull();
    expect(fitSimilarity(one, one, one, one, Int32Array.of(0, 1))).toBeNull();
  });
});
