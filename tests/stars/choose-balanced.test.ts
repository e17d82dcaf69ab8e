import { describe, expect, it } from 'vitest';
import { chooseBalanced } from '../../src/stars/choose-balanced.js';
import { seededRandom } from '../scenes/random.js';

describe('balanced choice', () => {
  const random = seededRandom(3);
  // Half of the entries crowd into one corner, and they are the best.
  const x = Float64Array.from({ length: 2000 }, (_, k) =>
    k < 1000 ? 100 * random.uniform() : 1 + 799 * random.uniform(),
  );
  const y = Float64Array.from({ length: 2000 }, (_, k) =>
    k < 1000 ? 100 * random.uniform() : 1 + 599 * random.uniform(),
  );
  const order = Uint32Array.from(x.keys());

  it('does not let a cluster crowd out the field', () => {
    const chosen = chooseBalanced(order, x, y, 800, 600, 480);
    expect(chosen.length).toBe(480);
    expect(chosen.filter((k) => k < 1000).length).toBeLessThan(60);
  });

  it('takes the best of each part and keeps the order', () => {
    const chosen = chooseBalanced(order, x, y, 800, 600, 480);
    expect([...chosen]).toEqual([...chosen].sort((a, b) => a - b));
    expect(chosen[0]).toBe(0);
  });

  it('takes all when there is room', () => {
    expect(chooseBalanced([4, 2, 9], x, y, 800, 600, 5)).toEqual(Uint32Array.of(4, 2, 9));
  });
});
