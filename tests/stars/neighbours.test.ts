import { describe, expect, it } from 'vitest';
import { indexNeighbours } from '../../src/stars/neighbours.js';
import { seededRandom } from '../scenes/random.js';

describe('neighbour index', () => {
  it('finds what a look at every source finds', () => {
    const random = seededRandom(2);
    const x = Float64Array.from({ length: 300 }, () => 200 * random.uniform());
    const y = Float64Array.from({ length: 300 }, () => 200 * random.uniform());
    const index = indexNeighbours({ count: 300, x, y }, 17);
    for (const radius of [3, 20, 60]) {
      for (let s = 0; s < 20; s += 1) {
        const found: number[] = [];
        index.near(x[s], y[s], radius, (k) => found.push(k));
        const all = [...x.keys()].filter((k) => Math.hypot(x[k] - x[s], y[k] - y[s]) <= radius);
        expect(found.sort((a, b) => a - b)).toEqual(all);
      }
    }
  });
});
