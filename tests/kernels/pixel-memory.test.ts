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

  it('has one desk as long as it is large enough, between the work area and the pixels', () => {
    const memory = createPixelMemory();
    const { buffer, byteOffset } = memory.room(4000);
    const data = new Uint16Array(buffer, byteOffset, 100);
    const { desk: deskOf, workArea } = residentPixels(data);
    const desk = deskOf(100);
    expect(desk.kernels).toBe(memory.kernels);
    expect(desk.values.buffer).toBe(buffer);
    expect(deskOf(50)).toBe(desk);
    expect(memory.desk(desk.room)).toBe(desk);
    const larger = deskOf(desk.room + 1);
    expect(larger.room).toBeGreaterThan(desk.room);
    expect(larger.linesAt[15] + 4 * larger.room).toBeLessThan(byteOffset);
    const { address } = workArea().floats(8e6);
    expect(larger.numbersAt).toBeGreaterThan(address + 4 * 8e6);
    expect(() => deskOf(1e8)).toThrow(RangeError);
  });

  it('lays the desk anew where a larger frame came in, and without any frame', () => {
    const memory = createPixelMemory();
    const before = memory.desk(100);
    expect(before.values.length).toBe(before.room);
    memory.room(5e6);
    const after = memory.desk(100);
    expect(after.values.length).toBe(after.room);
    after.values.fill(1);
    expect([...new Float32Array(memory.kernels.memory.buffer, after.valuesAt, 2)]).toEqual([1, 1]);
  });
});
