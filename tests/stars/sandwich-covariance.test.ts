import { describe, expect, it } from 'vitest';
import { sandwichCovariance } from '../../src/stars/sandwich-covariance.js';

describe('sandwich covariance', () => {
  it('is bread x filling x bread', () => {
    const bread = Float64Array.of(2, 1, 1, 3);
    const filling = Float64Array.of(1, 0, 0, 4);
    expect([...sandwichCovariance(bread, filling, 2)]).toEqual([8, 14, 14, 37]);
  });
  it('is the plain inverse when the noise matches the weights', () => {
    const bread = Float64Array.of(0.5, 0, 0, 0.25);
    expect([...sandwichCovariance(bread, Float64Array.of(2, 0, 0, 4), 2)]).toEqual([0.5, 0, 0, 0.25]);
  });
});
