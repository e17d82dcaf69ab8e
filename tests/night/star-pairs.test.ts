import { describe, expect, it } from 'vitest';
import { brightestPairs, pairsByLength } from '../../src/night/star-pairs.js';
import { starPositions } from '../../src/night/star-positions.js';
import { seededRandom } from '../scenes/random.js';

const random = seededRandom(11);
const stars = starPositions(
  Array.from({ length: 30 }, (_, k) => [900 * random.uniform(), 700 * random.uniform(), 1000 - k]).flat(),
  900,
  700,
);

/** The same by trying all pairs. */
function allPairs(from: number, most: number): [number, number][] {
  const pairs: [number, number][] = [];
  for (let i = from; i < Math.min(30, from + most); i++)
    for (let j = i + 1; j < Math.min(30, from + most); j++)
      if (Math.hypot(stars.x[i]! - stars.x[j]!, stars.y[i]! - stars.y[j]!) >= 8 * stars.tolerancePx)
        pairs.push([i, j]);
  return pairs;
}

describe('brightestPairs', () => {
  it.each([
    [0, 12],
    [5, 9],
    [0, 99],
    [28, 9],
    [29, 5],
    [40, 5],
  ])('lists every long pair from star %i, %i stars, once', (from, most) => {
    const pairs = brightestPairs(stars, from, most);
    const found = Array.from({ length: pairs.count }, (_, k) => [pairs.i[k]!, pairs.j[k]!]);
    expect(found.sort((a, b) => a[0]! - b[0]! || a[1]! - b[1]!)).toEqual(allPairs(from, most));
  });

  it('takes the brightest first, and says length and flux ratio', () => {
    const pairs = brightestPairs(stars, 0, 12);
    for (let k = 0; k < pairs.count; k++) {
      const [i, j] = [pairs.i[k]!, pairs.j[k]!];
      if (k > 0) expect(i + j).toBeGreaterThanOrEqual(pairs.i[k - 1]! + pairs.j[k - 1]!);
      expect(pairs.lengthPx[k]).toBeCloseTo(
        Math.hypot(stars.x[i]! - stars.x[j]!, stars.y[i]! - stars.y[j]!),
        9,
      );
      expect(pairs.logRatio[k]).toBeCloseTo(Math.log((1000 - i) / (1000 - j)), 12);
    }
  });
});

it('pairsByLength keeps the pairs whole', () => {
  const pairs = brightestPairs(stars, 0, 20);
  const sorted = pairsByLength(pairs);
  const rows = (p: typeof pairs): string[] =>
    Array.from({ length: p.count }, (_, k) => `${p.i[k]} ${p.j[k]} ${p.lengthPx[k]} ${p.logRatio[k]}`);
  expect([...sorted.lengthPx]).toEqual([...sorted.lengthPx].sort((a, b) => a - b));
  expect(rows(sorted).sort()).toEqual(rows(pairs).sort());
});
