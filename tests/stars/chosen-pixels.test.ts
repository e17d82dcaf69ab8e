import { describe, expect, it } from 'vitest';
import { choosePixels, keepPixels, layPixels, nearPixels } from '../../src/stars/chosen-pixels.js';
import { gaussian } from '../scenes/profiles.js';
import { makeStarImage } from '../scenes/star-image.js';
import { windowOf } from '../scenes/window.js';

describe('chosen pixels', () => {
  const window = windowOf(makeStarImage(gaussian(3), 12, 6), { flux: 0, level: 50 });
  const onDesk = (count: number): number[][] =>
    [0, 1, 2].map((part) => [...window.desk.lines[part].subarray(0, count)]);
  it('are the usable ones within the radius, less the local sky', () => {
    window.usable[16 * 33 + 16] = 0;
    const { count } = choosePixels(window, 16, 16, 1.5, 20);
    const [column, row, value] = onDesk(count);
    expect(count).toBe(8);
    for (let k = 0; k < count; k += 1) {
      expect(Math.hypot(column[k] - 16, row[k] - 16)).toBeLessThanOrEqual(1.5);
      expect(value[k]).toBe(30);
    }
  });
  it('find room for large radii', () => {
    expect(choosePixels(window, 16, 16, 15, 0).count).toBeGreaterThan(690);
  });
  it('come back as they were kept, whatever lay on the desk meanwhile', () => {
    const kept = keepPixels(choosePixels({ ...window, x0: 100, y0: 50 }, 116.2, 66, 3, 0));
    const before = onDesk(kept.count);
    choosePixels(window, 4, 4, 8, 1);
    expect(onDesk(kept.count)).not.toEqual(before);
    expect(layPixels(kept)).toMatchObject({ x0: 100, y0: 50, x: 116.2, y: 66, radiusPx: 3 });
    expect(onDesk(kept.count)).toEqual(before);
  });
  it('are fewer nearer to another place', () => {
    const kept = keepPixels(choosePixels({ ...window, x0: 100, y0: 50 }, 116, 66, 3, 0));
    const near = nearPixels(kept, 118, 66, 1);
    layPixels(near);
    const [column, row] = onDesk(near.count);
    expect(column.map((x, k) => [x + near.x0, row[k] + near.y0])).toEqual([
      [118, 65],
      [117, 66],
      [118, 66],
      [119, 66],
      [118, 67],
    ]);
  });
});
