import { describe, expect, it } from 'vitest';
import { comaFlares } from '../../src/night/joint-fit-coma.js';
import { NOTHING_SHARED } from '../../src/night/joint-fit-start.js';
import { exactFrames } from './exact-frames.js';

const coma = { ...NOTHING_SHARED, comaG: 0.8, comaX: 0.6 };
const owns = [{ seeing: 1.2, focus: 0, plus: 0, cross: 0 }];

describe('comaFlares', () => {
  it('agrees with flares that point the right way, and disagrees with the opposite', () => {
    const frames = exactFrames(coma, owns);
    expect(comaFlares(frames, coma)!).toBeGreaterThan(5);
    expect(comaFlares(frames, { ...coma, comaG: -0.8, comaX: -0.6 })!).toBeLessThan(-5);
  });

  it('does not take the jerks of a mount, each frame in its own direction, for optics', () => {
    const calm = exactFrames(
      coma,
      Array.from({ length: 8 }, () => owns[0]),
    );
    const jerked = calm.map((frame, k) => ({
      ...frame,
      cells: frame.cells.map((cell) => ({
        ...cell,
        skewX: 0.2 * Math.cos(2 * k) + 0.03,
        skewY: 0.2 * Math.sin(2 * k),
      })),
    }));
    expect(Math.abs(comaFlares(jerked, { ...coma, comaG: 0 })!)).toBeLessThan(2);
    expect(comaFlares(calm, coma)!).toBeGreaterThan(5);
  });

  it('is null without coma or without third moments', () => {
    expect(comaFlares(exactFrames(coma, owns), NOTHING_SHARED)).toBeNull();
    const blind = exactFrames(coma, owns).map((f) => ({
      ...f,
      cells: f.cells.map((c) => ({ ...c, skewX: NaN })),
    }));
    expect(comaFlares(blind, coma)).toBeNull();
  });
});
