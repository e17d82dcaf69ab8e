import { describe, expect, it } from 'vitest';
import { gather } from '../../src/stats/gather.js';

describe('gather', () => {
  it('lists the entries at the places asked for, in the order of the places', () => {
    expect(gather([10, 11, 12, 13], Uint32Array.of(3, 0, 3))).toEqual(Float64Array.of(13, 10, 13));
  });

  it('gives nothing for no place', () => {
    expect(gather(Float64Array.of(1, 2), [])).toEqual(new Float64Array(0));
  });
});
