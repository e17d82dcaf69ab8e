import { describe, expect, it } from 'vitest';
import { collectPeaks, makeRoom } from '../../src/image/peak-collector.js';

describe('peak collector', () => {
  it('keeps its peaks while it grows', () => {
    const found = collectPeaks();
    const room = found.x.length;
    found.count = room;
    for (let k = 0; k < room; k += 1) {
      found.x[k] = k;
      found.snr[k] = -k;
    }
    makeRoom(found, 1);
    expect(found.y.length).toBe(2 * room);
    expect(found.flux.length).toBe(2 * room);
    expect(found.x.subarray(0, room)).toEqual(Float64Array.from({ length: room }, (_, k) => k));
    expect(found.snr[room - 1]).toBe(1 - room);
    makeRoom(found, 9 * room);
    expect(found.x.length).toBe(10 * room);
  });

  it('stays as it is where there is room', () => {
    const found = collectPeaks();
    const { x } = found;
    makeRoom(found, x.length);
    expect(found.x).toBe(x);
    expect(found.count).toBe(0);
  });
});
