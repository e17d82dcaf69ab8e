import { describe, expect, it } from 'vitest';
import { measureBackground } from '../../src/image/background-map.js';
import { openBlocks, ROWS_KEPT, visitBlocks } from '../../src/image/block-rows.js';
import { seeingImage, starField, type StarFieldOptions } from '../scenes/star-field.js';

/** Means of blocks by plain loops. */
function plainBlocks(
  { data, width, mosaic }: ReturnType<typeof starField>['plane'],
  bin: number,
  columns: number,
  rows: number,
): Float64Array {
  return Float64Array.from({ length: columns * rows }, (_, k) => {
    let sum = 0;
    let n = 0;
    for (let y = bin * Math.floor(k / columns); y < bin * (Math.floor(k / columns) + 1); y += 1) {
      for (let x = bin * (k % columns); x < bin * ((k % columns) + 1); x += 1) {
        // RGGB: the greens' coordinates add up to odd numbers.
        if (mosaic !== null && (x + y) % 2 === 0) continue;
        sum += data[y * width + x];
        n += 1;
      }
    }
    return sum / n;
  });
}

describe('rows of blocks', () => {
  const mosaic = { cell: ['R', 'G', 'G', 'B'], source: 'test' } as const;
  it.each<readonly [string, number, StarFieldOptions, number]>([
    ['pixels themselves', 1, {}, 0],
    ['pairs in whole numbers', 2, {}, 0],
    ['fours in whole numbers', 4, {}, 0],
    ['pairs in floats where the noise is low', 2, { sky: 40, electronsPerAdu: 6 }, 1],
    ['eights in floats', 8, { asFloat: true }, 1],
    ['green sites', 2, { mosaic }, 0],
    ['fours of green sites', 4, { mosaic }, 0],
  ])('are the means of their pixels, with the rows before them at hand: %s', (_, bin, options, isFloat) => {
    // Faint stars, so that nothing looks like a spike.
    const { plane } = starField(seeingImage(3), { count: 50, snr: [5, 10], ...options });
    const blocks = openBlocks(plane, measureBackground(plane), bin, 3.5);
    const { columns, rows, stride } = blocks;
    expect(blocks.isFloat).toBe(isFloat);
    const truth = plainBlocks(plane, bin, columns, rows);
    const seen = new Uint8Array(rows);
    let sum = 0;
    let n = 0;
    visitBlocks(blocks, [3, rows], 5, ({ address, first, end }) => {
      const View = isFloat ? Float32Array : Uint16Array;
      for (let row = Math.max(3, first - ROWS_KEPT); row < end; row += 1) {
        seen[row] |= row < first ? 2 : 1;
        const at = address + (row - first) * stride * View.BYTES_PER_ELEMENT;
        const values = new View(blocks.kernels.memory.buffer, at, columns);
        for (let c = 0; c < columns; c += 1) {
          const off = values[c] - truth[row * columns + c];
          // Whole numbers: each halving rounds once or twice, by half a step.
          if (Math.abs(off) > (isFloat ? 1e-3 : Math.log2(bin))) throw new Error(`${row} ${c}: ${off}`);
          sum += off;
          n += 1;
        }
      }
    });
    expect([...seen.subarray(0, 4)]).toEqual([0, 0, 0, 3]);
    expect(seen.subarray(3).every((s) => (s & 1) === 1)).toBe(true);
    // Rounded up as often as down.
    expect(Math.abs(sum / n)).toBeLessThan(0.02);
  });

  it('count spikes, and put the sky in their place', () => {
    const { plane } = starField(seeingImage(3), { stars: [], hotFraction: 0.001 });
    for (const bin of [2, 4]) {
      const blocks = openBlocks(plane, measureBackground(plane), bin, 3.5);
      let bright = 0;
      const spikes = visitBlocks(blocks, [0, blocks.rows], 8, ({ address, first, end }) => {
        for (let row = first; row < end; row += 1) {
          const at = address + 2 * (row - first) * blocks.stride;
          const values = new Uint16Array(blocks.kernels.memory.buffer, at, blocks.columns);
          bright += values.filter((v) => v > 500 + 6 * Math.sqrt(525)).length;
        }
      });
      // Next to another, or at the border, a spike cannot be told.
      expect(bright).toBeLessThan(0.03 * spikes);
      expect(spikes).toBeGreaterThan(0.0008 * plane.data.length);
    }
  });
});
