import { describe, expect, it } from 'vitest';
import { choleskyInPlace, choleskyInverse, choleskySolveInPlace } from '../../src/stats/cholesky.js';

const a = [4, 2, 0.6, 2, 5, 1, 0.6, 1, 3];

describe('Cholesky factorisation', () => {
  it('solves a symmetric positive definite system', () => {
    const factor = Float64Array.from(a);
    expect(choleskyInPlace(factor, 3)).toBe(true);
    const x = [1, -2, 0.5];
    const b = Float64Array.from(
      [0, 1, 2],
      (i) => a[3 * i] * x[0] + a[3 * i + 1] * x[1] + a[3 * i + 2] * x[2],
    );
    choleskySolveInPlace(factor, 3, b);
    x.forEach((v, i) => expect(b[i]).toBeCloseTo(v, 12));
  });

  it('gives an inverse whose product with the matrix is the identity', () => {
    const factor = Float64Array.from(a);
    choleskyInPlace(factor, 3);
    const inverse = choleskyInverse(factor, 3);
    for (let i = 0; i < 3; i += 1) {
      for (let j = 0; j < 3; j += 1) {
        const sum = [0, 1, 2].reduce((s, k) => s + a[3 * i + k] * inverse[3 * k + j], 0);
        expect(sum).toBeCloseTo(i === j ? 1 : 0, 12);
      }
    }
  });

  it('says so when the matrix is not positive definite', () => {
    expect(choleskyInPlace(Float64Array.of(1, 2, 2, 1), 2)).toBe(false);
    expect(choleskyInPlace(Float64Array.of(NaN), 1)).toBe(false);
  });
});
