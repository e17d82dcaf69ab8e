import { describe, expect, it } from 'vitest';
import { matchStars } from '../../src/night/match-stars.js';
import { scaleAndRotation } from '../../src/night/similarity.js';
import { starPositions } from '../../src/night/star-positions.js';
import { madeSky, seenStars, type Pointing } from './made-frames.js';
import { timed } from '../scenes/processor-time.js';

const [width, height] = [6000, 4000];
const sky = madeSky(5, 3000, 9000);
const view = (pointing: Pointing, seconds = 120, field = sky) =>
  starPositions(seenStars(field, seconds, width, height, pointing), width, height, seconds);

describe('matchStars', () => {
  const reference = view({ seed: 1 });

  it.each([
    ['a dither', { dxPx: 31.4, dyPx: -12.7 }],
    ['a meridian flip', { rotationDeg: 180, dxPx: 40, dyPx: 25 }],
    ['any rotation', { rotationDeg: 73.2 }],
    ['a half-overlapping pointing', { dxPx: 2500, dyPx: 900 }],
    ['a small change of scale', { scale: 1.02, rotationDeg: -3 }],
    ['thick cloud', { transparency: 0.1 }],
    ['poor positions', { positionError: 0.6 }],
  ] satisfies [string, Pointing][])('sees through %s', (_, pointing: Pointing) => {
    const match = matchStars(view({ seed: 2, ...pointing }), reference)!;
    expect(match).not.toBeNull();
    const { scale, rotationDeg } = scaleAndRotation(match.transform);
    // The transform leads back to the reference. Errors: 0.6 px over a few thousand px, averaged over tens of stars.
    expect(scale).toBeCloseTo(1 / (pointing.scale ?? 1), 3);
    const turn = ((rotationDeg + (pointing.rotationDeg ?? 0) + 540) % 360) - 180;
    expect(Math.abs(turn)).toBeLessThan(0.03);
    const { a, b, tx, ty } = match.transform;
    const [x, y] = [width / 2 + (pointing.dxPx ?? 0), height / 2 + (pointing.dyPx ?? 0)];
    expect(Math.abs(a * x - b * y + tx - width / 2)).toBeLessThan(1);
    expect(Math.abs(b * x + a * y + ty - height / 2)).toBeLessThan(1);
  });

  it('sees through an exposure thirty times shorter, whose bright stars are clipped in the long one', () => {
    const long = view({ seed: 3, clipAt: 60_000 }, 300);
    const short = view({ seed: 4, clipAt: 60_000 }, 10);
    const match = matchStars(short, long);
    expect(match?.matched).toBeGreaterThan(20);
  });

  it('finds nothing in common with another field', () => {
    for (let seed = 10; seed < 30; seed++) {
      const other = view({ seed }, 120, madeSky(seed, 3000, 9000));
      expect(matchStars(other, reference)).toBeNull();
    }
  });

  it('finds nothing in common with another crowded field on a small sensor', () => {
    const crowded = (seed: number) =>
      starPositions(seenStars(madeSky(seed, 1000, 600), 120, 512, 512, { seed }), 512, 512);
    for (let seed = 40; seed < 60; seed++) expect(matchStars(crowded(seed), crowded(99))).toBeNull();
  });

  it('needs four stars that agree, and is sure of five', () => {
    const few = (n: number, seed: number, dxPx: number) =>
      starPositions(
        seenStars(madeSky(7, n, 3000), 1000, width, height, { seed, dxPx, fluxError: 0.001 }),
        width,
        height,
      );
    expect(matchStars(few(5, 1, 0), few(5, 2, 50))?.matched).toBe(5);
    expect(matchStars(few(3, 1, 0), few(3, 2, 50))).toBeNull();
    expect(matchStars(few(0, 1, 0), reference)).toBeNull();
  });

  it('takes a few milliseconds a pair, found or not', () => {
    const frame = view({ seed: 6, rotationDeg: 180, dxPx: 10 });
    const other = view({ seed: 7 }, 120, madeSky(8, 3000, 9000));
    for (let i = 0; i < 5; i++) matchStars(frame, reference);
    const each = (field: typeof frame, times: number): number =>
      timed(() => {
        for (let i = 0; i < times; i++) matchStars(field, reference);
      }).processorMs / times;
    // Measured 1 ms and 60 ms; the limits leave room for a slower machine.
    expect(each(frame, 20)).toBeLessThan(20);
    expect(each(other, 3)).toBeLessThan(600);
  });
});
