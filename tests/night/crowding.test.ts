import { expect, it } from 'vitest';
import { crowding } from '../../src/night/crowding.js';

it('crowding is the light of the neighbours over the own, fading to the rim', () => {
  const x = Float64Array.of(0, 5, 100);
  const y = Float64Array.of(0, 0, 0);
  const result = crowding(x, y, Float64Array.of(100, 40, 1), 10);
  // 40 x (1 - (5/10)^2) / 100 and 100 x 0.75 / 40.
  expect([...result]).toEqual([0.3, 1.875, 0]);
});

it('crowding of and by a star without flux', () => {
  const place = Float64Array.of(0, 1);
  expect([...crowding(place, place, Float64Array.of(Number.NaN, 7), 10)]).toEqual([Infinity, 0]);
  expect(crowding(new Float64Array(0), new Float64Array(0), new Float64Array(0), 10)).toHaveLength(0);
});
