import { describe, expect, it } from 'vitest';
import { measureBackground } from '../../src/image/background-map.js';
import { openBlocks, visitBlocks } from '../../src/image/block-rows.js';
import { coarseBlockPx, coarseSignal, signalCollector } from '../../src/image/coarse-signal.js';
import { planeOf } from '../scenes/plane.js';
import { seeingImage, starField, type StarFieldOptions } from '../scenes/star-field.js';

const dark = (options: StarFieldOptions = {}) => starField(seeingImage(3), { stars: [], ...options }).plane;

describe('coarse signal', () => {
  it.each([
    ['integers', {}],
    ['floats', { asFloat: true }],
    ['a mosaic', { mosaic: { cell: ['R', 'G', 'G', 'B'], source: 'test' } as const }],
  ])('is noise of unit spread where there is only sky: %s', (_, options) => {
    const plane = dark(options);
    const signal = coarseSignal(plane, measureBackground(plane), 3, 4);
    const n = signal.values.length;
    const mean = signal.values.reduce((s, v) => s + v, 0) / n;
    const sd = Math.sqrt(signal.values.reduce((s, v) => s + (v - mean) ** 2, 0) / n);
    expect(signal.columns).toBe(225);
    expect(Math.abs(mean)).toBeLessThan(0.1);
    expect(Math.abs(sd - 1)).toBeLessThan(0.05);
  });

  it('lets nothing count more than eight sigma of a pixel', () => {
    const plane = dark();
    const data = Uint16Array.from(plane.data);
    for (const k of [0, 1, 900, 901]) data[102 * 900 + 102 + k] = 60000;
    const signal = coarseSignal({ ...plane, data }, measureBackground(plane), 3, 4);
    // 8 sigma of a pixel are 16 of a block of four, over 2 (four such blocks averaged) 8, plus the noise of the others.
    expect(signal.values[25 * 225 + 25]).toBeGreaterThan(5);
    expect(signal.values[25 * 225 + 25]).toBeLessThan(11);
  });

  it('is the same from the pixels themselves, but for hot ones, in blocks that need not divide the group', () => {
    const plane = dark();
    const background = measureBackground(plane);
    const blocks = openBlocks(plane, background, 1, 1.5);
    const { signal, groupRows, add } = signalCollector(blocks, 6);
    visitBlocks(blocks, [0, blocks.rows], groupRows, add);
    const halved = coarseSignal(plane, background, 1.5, 6);
    expect([signal.bin, signal.columns, signal.rows]).toEqual([6, 150, 116]);
    const off = signal.values.map((v, k) => Math.abs(v - halved.values[k]));
    // Rounding of nine means of four to whole numbers, and single pixels over eight sigma.
    expect(off.sort()[Math.floor(0.99 * off.length)]).toBeLessThan(0.1);
  });

  it('takes blocks of a size that makes 800 of the long side', () => {
    expect(coarseBlockPx(planeOf(900, 5, () => 0))).toBe(2);
    expect(coarseBlockPx({ ...planeOf(1, 1, () => 0), width: 6248, height: 4176 })).toBe(8);
  });
});
