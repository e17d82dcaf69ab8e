import { describe, expect, it } from 'vitest';
import { createPixelMemory, residentPixels } from '../../src/kernels/pixel-memory.js';

describe('pixel memory', () => {
  it('knows its own pixels and leaves them where they are', () => {
    const memory = createPixelMemory();
    const { buffer, byteOffset } = memory.room(4000);
    const data = new Uint16Array(buffer, byteOffset + 8, 100);
    const pixels = residentPixels(data);
    expect(pixels.kernels).toBe(memory.kernels);
    expect(pixels.address).toBe(byteOffset + 8);
    expect(pixels.isFloat).toBe(0);
  });

  it('copies pixels that lie elsewhere', () => {
    const data = Float32Array.of(3, 1, 4, 1, 5);
    const pixels = residentPixels(data);
    expect(pixels.isFloat).toBe(1);
    expect([...new Float32Array(pixels.kernels.memory.buffer, pixels.address, 5)]).toEqual([...data]);
  });

  it('keeps its room for a smaller frame and grows for a larger one', () => {
    const memory = createPixelMemory();
    const first = memory.room(1000);
    expect(memory.room(500).buffer).toBe(first.buffer);
    expect(memory.room(5e6).buffer.byteLength).toBeGreaterThan(first.buffer.byteLength);
  });

  it('lays out the work area without overlap and says when it is full', () => {
    const area = residentPixels(new Uint16Array(4)).workArea();
    const a = area.floats(5);
    const b = area.doubles(3);
    a.view.fill(1);
    b.view.fill(2);
    expect(b.address).toBeGreaterThanOrEqual(a.address + 20);
    expect(b.address % 16).toBe(0);
    expect([...a.view]).toEqual([1, 1, 1, 1, 1]);
    expect(() => area.floats(1e7)).toThrow(RangeError);
  });
});
