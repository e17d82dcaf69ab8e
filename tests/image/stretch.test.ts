import { describe, expect, it } from 'vitest';
import { chooseStretch, sortedSample, stretcher } from '../../src/image/stretch.js';
import { seededNumbers } from '../field/drawn-stars.js';

function skyWithStars(level: number, noise: number): Float32Array {
  const next = seededNumbers(3);
  const values = Float32Array.from(
    { length: 40_000 },
    () => level + noise * Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next()),
  );
  for (let i = 0; i < 200; i++)
    values[Math.floor(next() * values.length)] = level + noise * 400 * (1 + next());
  return values;
}

describe('chooseStretch', () => {
  it.each([
    [800, 3],
    [14_000, 60],
    [-2, 0.01],
  ])('shows a sky of %f with noise %f at the same grey, and stars bright', (level, noise) => {
    const stretch = chooseStretch(skyWithStars(level, noise));
    expect(stretcher(stretch)(level)).toBeGreaterThan(0.13);
    expect(stretcher(stretch)(level)).toBeLessThan(0.19);
    expect(stretcher(stretch)(level + 600 * noise)).toBeGreaterThan(0.8);
    expect(stretcher(stretch)(level - 4 * noise)).toBe(0);
  });

  it('is not led by a few wild pixels', () => {
    const values = skyWithStars(800, 3);
    const wild = values.slice();
    wild[5] = 1e9;
    wild[6] = -1e9;
    const [a, b] = [chooseStretch(values), chooseStretch(wild)];
    expect(b.white / a.white).toBeCloseTo(1, 1);
    expect(b.black / a.black).toBeCloseTo(1, 3);
  });

  it('is harmless for an all-equal, an empty and an all-blank picture', () => {
    for (const values of [
      new Float32Array(100).fill(7),
      new Float32Array(0),
      new Float32Array(5).fill(NaN),
    ]) {
      const shown = stretcher(chooseStretch(values))(values[0] ?? 0);
      expect(shown).toBeGreaterThanOrEqual(0);
      expect(shown).toBeLessThanOrEqual(1);
    }
  });
});

describe('stretcher', () => {
  it('rises with the value and shows NaN black', () => {
    const stretch = { black: 0, white: 100, bend: 50 };
    const shown = [0, 1, 10, 50, 100, 200].map((value) => stretcher(stretch)(value));
    expect([...shown].sort((a, b) => a - b)).toEqual(shown);
    expect(shown[5]).toBe(1);
    expect(stretcher(stretch)(NaN)).toBe(0);
  });

  it.each([1, 30, 3000, 20_000])('is asinh to a hundredth of a grey level, bend %d', (bend) => {
    const shown = stretcher({ black: 0, white: 1, bend });
    let worst = 0;
    for (let t = 1e-7; t < 1; t *= 1.01)
      worst = Math.max(worst, Math.abs(shown(t) - Math.asinh(bend * t) / Math.asinh(bend)));
    expect(255 * worst).toBeLessThan(0.01);
  });
});

describe('sortedSample', () => {
  it('leaves out what is not finite and stays short', () => {
    expect([...sortedSample(Float32Array.of(3, NaN, 1, Infinity, 2))]).toEqual([1, 2, 3]);
    expect(sortedSample(new Float32Array(1_000_000)).length).toBeLessThan(40_000);
  });
});
