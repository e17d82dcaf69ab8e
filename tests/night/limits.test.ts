import { expect, it } from 'vitest';
import { defaultLimits } from '../../src/night/limits.js';

it('defaultLimits are those of the design', () => {
  expect(defaultLimits).toMatchObject({
    fwhmFactor: 1.25,
    elongation: 1.35,
    transparency: 0.7,
    keepBest: null,
  });
});
