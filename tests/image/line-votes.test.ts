import { describe, expect, it } from 'vitest';
import { votedLines } from '../../src/image/line-votes.js';

describe('voted lines', () => {
  it('finds the line on which lit blocks lie', () => {
    const columns = 120;
    const rows = 90;
    const isLit = new Uint8Array(columns * rows);
    for (let x = 10; x < 110; x += 1) isLit[Math.round(20 + 0.4 * x) * columns + x] = 1;
    for (let k = 0; k < isLit.length; k += 97) isLit[k] = 1;
    const [line] = votedLines({ bin: 1, columns, rows, values: new Float32Array(0) }, isLit, 3);
    // y = 20 + 0.4 x: the normal points at 90 degrees + atan(0.4).
    expect(Math.abs((line.theta * 180) / Math.PI - 90 - 21.8)).toBeLessThan(1.5);
    expect(Math.abs(line.rho - 20 / Math.hypot(1, 0.4))).toBeLessThan(3);
  });

  it('finds none in scattered blocks', () => {
    const isLit = Uint8Array.from({ length: 10800 }, (_, k) => ((k * 7919) % 1009 < 20 ? 1 : 0));
    const lines = votedLines({ bin: 1, columns: 120, rows: 90, values: new Float32Array(0) }, isLit, 5);
    expect(lines.length).toBeLessThanOrEqual(5);
    expect(
      votedLines({ bin: 1, columns: 120, rows: 90, values: new Float32Array(0) }, new Uint8Array(10800), 5),
    ).toEqual([]);
  });
});
