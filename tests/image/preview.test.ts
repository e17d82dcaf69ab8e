import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { drawPreview, makePreview } from '../../src/image/preview.js';
import { drawStars, evenBackground } from '../field/drawn-stars.js';

const round = () => ({ xx: 4, xy: 0, yy: 4 });
const mosaic = { cell: ['R', 'G', 'G', 'B'], source: 'test' } as const;

describe('makePreview', () => {
  it('gives a WebP at most 480 pixels wide in the shape of the frame', async () => {
    const { plane, background } = drawStars({ width: 1200, height: 800, count: 100, shape: round });
    const meta = await sharp(await makePreview(plane, background)).metadata();
    expect([meta.format, meta.width, meta.height]).toEqual(['webp', 400, 266]);
  });

  it('takes fewer bytes for a crowded field', async () => {
    const { plane, background } = drawStars({
      width: 960,
      height: 640,
      count: 3000,
      noise: 60,
      shape: round,
    });
    expect((await makePreview(plane, background)).length).toBeLessThan(26_000);
  });
});

describe('drawPreview', () => {
  it('draws the y axis up: a star at large y is at the top', () => {
    const { plane, background } = drawStars({ width: 400, height: 300, count: 0, shape: round });
    plane.data[(290 - 1) * 400 + 199] = 60_000;
    const picture = drawPreview(plane, background);
    const brightest = picture.bytes.indexOf(Math.max(...picture.bytes));
    expect([brightest % 400, Math.floor(brightest / 400)]).toEqual([199, 10]);
  });

  it('shows a colour mosaic in colour, its sky neutral', () => {
    const { plane, background } = drawStars({ width: 400, height: 300, count: 60, mosaic, shape: round });
    // A red lamp: red sites only.
    for (let y = 100; y < 120; y += 2) for (let x = 100; x < 120; x += 2) plane.data[y * 400 + x] = 20_000;
    const picture = drawPreview(plane, background);
    expect(picture.channels).toBe(3);
    const at = (x: number, y: number) => [
      ...picture.bytes.subarray(3 * ((149 - y) * 200 + x), 3 * ((149 - y) * 200 + x) + 3),
    ];
    const [red, green, blue] = at(55, 55) as [number, number, number];
    expect(red).toBeGreaterThan(150);
    expect(green).toBeLessThan(red / 3);
    expect(blue).toBeLessThan(red / 3);
    const sums = [0, 0, 0];
    for (let i = 0; i < picture.bytes.length; i++) sums[i % 3]! += picture.bytes[i]!;
    expect(sums[0]! / sums[1]!).toBeCloseTo(1, 0);
  });

  it('shows a frame without a single value as black', () => {
    const { plane } = drawStars({ width: 40, height: 30, count: 0, shape: round });
    const blank = { ...plane, data: new Float32Array(1200).fill(NaN), blankCount: 1200 };
    expect(Math.max(...drawPreview(blank, evenBackground(NaN, NaN)).bytes)).toBe(0);
  });
});
