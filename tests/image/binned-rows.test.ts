import { describe, expect, it } from 'vitest';
import { binRow } from '../../src/image/binned-rows.js';
import { spikeRatio } from '../../src/image/spike.js';
import { planeOf } from '../scenes/plane.js';

const level = (columns: number, v: number): Float64Array => new Float64Array(columns).fill(v);

describe('binning a row of blocks', () => {
  it('gives block means', () => {
    const plane = planeOf(8, 4, (x, y) => 100 + x + 10 * y);
    const out = new Float32Array(4);
    binRow(
      { plane, bin: 2, parity: null, spikeRatio: spikeRatio(3) },
      1,
      4,
      level(4, 100),
      level(4, 1000),
      out,
      0,
    );
    expect([...out]).toEqual([125.5, 127.5, 129.5, 131.5]);
  });

  it('takes the green sites of a mosaic only', () => {
    const plane = planeOf(8, 4, (x, y) => ((x + y) % 2 === 1 ? 50 : 9000));
    const out = new Float32Array(4);
    binRow(
      { plane, bin: 2, parity: 1, spikeRatio: spikeRatio(3) },
      0,
      4,
      level(4, 50),
      level(4, 1e5),
      out,
      0,
    );
    expect([...out]).toEqual([50, 50, 50, 50]);
  });

  it('replaces a hot pixel by the sky and counts it, and leaves blanks out', () => {
    const plane = planeOf(8, 8, (x, y) => (x === 2 && y === 3 ? 5000 : x === 5 && y === 2 ? NaN : 100), {
      asFloat: true,
    });
    const out = new Float32Array(4);
    const spikes = binRow(
      { plane, bin: 2, parity: null, spikeRatio: spikeRatio(3) },
      1,
      4,
      level(4, 100),
      level(4, 5),
      out,
      0,
    );
    expect(spikes).toBe(1);
    expect([...out]).toEqual([100, 100, 100, 100]);
  });
});
