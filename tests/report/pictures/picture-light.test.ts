import { expect, it } from 'vitest';
import { pictureLight } from '../../../src/report/pictures/picture-light.js';

it('is white by day and red at night', () => {
  const greys = Uint8Array.of(0, 200);
  expect([...pictureLight(greys, 'dark')]).toEqual([0, 0, 0, 200, 200, 200]);
  expect([...pictureLight(greys, 'night')]).toEqual([0, 0, 0, 200, 0, 0]);
});
