import { expect, it } from 'vitest';
import { makeStarAtlas } from '../../src/field/star-atlas.js';
import { drawStars } from './drawn-stars.js';

it('gives the record and its picture', async () => {
  const { plane, background, table } = drawStars({
    width: 600,
    height: 400,
    count: 120,
    shape: () => ({ xx: 2, xy: 0, yy: 2 }),
  });
  const { atlas, png } = await makeStarAtlas(plane, background, table);
  expect(atlas.cells.length).toBe(atlas.columns * atlas.rows);
  expect(String.fromCharCode(...png.subarray(1, 4))).toBe('PNG');
});
