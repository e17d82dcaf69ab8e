import { describe, expect, it } from 'vitest';
import { assessed } from './sweep-fixture.js';

describe('best focus part by part', () => {
  const sweep = assessed({ optics: { tilt: { spanMicron: 60, directionDeg: 0 }, curvatureMicron: 30 } });

  it('follows the planted surface', () => {
    const halfU = 1600 / Math.hypot(1600, 1100);
    for (const tile of sweep.tiles) {
      const truth = (60 / (2 * halfU)) * tile.u + 30 * (tile.u ** 2 + tile.v ** 2);
      const medial = (tile.tangential.value + tile.sagittal.value) / 2 - sweep.bestFocus.centreMicron;
      expect(Math.abs(medial - truth)).toBeLessThan(4 + 3 * tile.tangential.error);
    }
  });

  it('lists tiles from the top left, with curves lowest near their best focus', () => {
    const rows = sweep.tiles.map((tile) => tile.row);
    expect(rows[0]).toBe(Math.max(...rows));
    const left = sweep.tiles.find((tile) => tile.column === 0)!;
    const lowest = left.curve.reduce((a, b) => (b.radialPx < a.radialPx ? b : a));
    expect(Math.abs(lowest.outwardMicron - left.tangential.value)).toBeLessThan(15);
    expect(left.points.length).toBeGreaterThanOrEqual(7);
  });
});
