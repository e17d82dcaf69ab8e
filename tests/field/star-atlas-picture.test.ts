import sharp from 'sharp';
import { expect, it } from 'vitest';
import { meanStars } from '../../src/field/mean-stars.js';
import { drawStarAtlas, encodeStarAtlas } from '../../src/field/star-atlas-picture.js';
import { drawStars } from './drawn-stars.js';

const { plane, background, table } = drawStars({
  width: 900,
  height: 600,
  count: 300,
  shape: (_, y) => ({ xx: 1.5 + y / 200, xy: 0, yy: 1.5 + y / 200 }),
});
const atlas = meanStars(plane, background, table);

it('draws cells in their places, large y at the top, each star to its own peak', () => {
  const { width, height, bytes } = drawStarAtlas(atlas);
  const tile = atlas.sideSubPixels + 2;
  expect([width, height]).toEqual([5 * tile - 2, 3 * tile - 2]);
  const light = (row: number) => {
    let sum = 0;
    for (let y = row * tile; y < row * tile + atlas.sideSubPixels; y++)
      for (let x = 0; x < atlas.sideSubPixels; x++) sum += bytes[y * width + x]!;
    return sum;
  };
  // Stars are widest at large y, and wide stars fill more of their square.
  expect(light(0)).toBeGreaterThan(1.2 * light(2));
  expect(bytes.includes(255)).toBe(true);
});

it('draws a cell without stars as a plain dark square', () => {
  const empty = {
    ...atlas,
    cells: atlas.cells.map((cell) => ({ ...cell, stars: 0, image: new Float32Array(0) })),
  };
  expect(new Set(drawStarAtlas(empty).bytes).size).toBe(2);
});

it('encodes PNG, small enough for a page', async () => {
  const png = await encodeStarAtlas(atlas, 2);
  const meta = await sharp(png).metadata();
  expect([meta.format, meta.channels, meta.width]).toEqual(['png', 1, 5 * (2 * atlas.sideSubPixels + 2) - 2]);
  expect((await encodeStarAtlas(atlas)).length).toBeLessThan(16_000);
});
