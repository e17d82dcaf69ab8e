import { expect, it } from 'vitest';
import { registerFields } from '../../src/night/register-fields.js';
import { numberFieldStars } from '../../src/night/star-catalogue.js';
import { madeFrame, madeSky, seenStars } from './made-frames.js';

it('numberFieldStars gives a star one number in all frames', () => {
  const sky = madeSky(21, 300, 1200);
  const frames = [0, 40, -25].map((dxPx, i) =>
    madeFrame(`f${i}`, {
      stars: seenStars(sky, 120, 2000, 1500, { seed: i, dxPx, rotationDeg: 90 * i, fluxError: 0 }),
    }),
  );
  const { frames: registered } = registerFields(frames)[0]!;
  const { starOf, count } = numberFieldStars(registered);
  // Flux tells which star it is: noise is far below the steps of a power law for the 30 brightest.
  const first = starOf[0]!;
  for (const other of [1, 2]) {
    expect([...starOf[other]!.slice(0, 10)]).toEqual([...first.slice(0, 10)]);
  }
  expect(count).toBeLessThan(1.1 * Math.max(...registered.map((r) => r.stars.count)));
  for (const numbers of starOf) {
    const used = [...numbers].filter((n) => n >= 0);
    expect(new Set(used).size).toBe(used.length);
  }
});
