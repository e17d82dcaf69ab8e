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

  it('is null without coma or without third moments', () => {
    expect(comaFlares(exactFrames(coma, owns), NOTHING_SHARED)).toBeNull();
    const blind = exactFrames(coma, owns).map((f) => ({
      ...f,
      cells: f.cells.map((c) => ({ ...c, skewX: NaN })),
    }));
    expect(comaFlares(blind, coma)).toBeNull();
  });
});
