import { describe, expect, it } from 'vitest';
import { votedLines } from '../../src/image/line-votes.js';

describe('voted lines', () => {
  it('finds the line on which lit blocks lie', () => {
    const columns = 120;
    const rows = 90;
    const values = new Float32Array(columns * rows);
    for (let x = 10; x < 110; x += 1) values[Math.round(20 + 0.4 * x) * columns + x] = 1;
    for (let k = 0; k < values.length; k += 97) values[k] = 1;
    const [line] = votedLines({ bin: 1, columns, rows, values }, 0.5, 3);
    // y = 20 + 0.4 x: the normal points at 90 degrees + atan(0.4).
    expect(Math.abs((line.theta * 180) / Math.PI - 90 - 21.8)).toBeLessThan(1.5);
    expect(Math.abs(line.rho - 20 / Math.hypot(1, 0.4))).toBeLessThan(3);
  });

  it('finds none in scattered blocks', () => {
    const values = Float32Array.from({ length: 10800 }, (_, k) => ((k * 7919) % 1009 < 20 ? 1 : 0));
    expect(votedLines({ bin: 1, columns: 120, rows: 90, values }, 0.5, 5).length).toBeLessThanOrEqual(5);
    expect(votedLines({ bin: 1, columns: 120, rows: 90, values }, 2, 5)).toEqual([]);
  });

  it('raises the limit where most blocks are lit', () => {
    // A trail three times as bright as the light that lies everywhere.
    const values = Float32Array.from({ length: 10800 }, (_, k) => (k % 120 === Math.floor(k / 120) ? 9 : 3));
    const [line] = votedLines({ bin: 1, columns: 120, rows: 90, values }, 2.5, 3);
    expect((line.theta * 180) / Math.PI).toBe(135);
    expect(line.rho).toBe(0);
  });
});
