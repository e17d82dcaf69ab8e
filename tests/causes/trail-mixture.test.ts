import { describe, expect, it } from 'vitest';
import { calmFrames } from './judge.js';
import { madeNight, type MadeFrame } from './made-night.js';
import { nightSeries } from '../../src/causes/night-series.js';
import { trailMixture, windOverMount, type TrailMixture } from '../../src/causes/trail-mixture.js';
import { trailPicture, type TrailedFrame } from '../../src/causes/trails.js';

/** Frames of a night by whether they are trailed. */
function sorted(
  frames: number,
  made: (k: number) => MadeFrame,
): { bad: TrailedFrame[]; calm: TrailedFrame[] } {
  const { trailed } = trailPicture(nightSeries(madeNight({ frames: calmFrames(frames, made) })));
  return {
    bad: trailed.filter((t) => t.confidence > 0.4),
    calm: trailed.filter((t) => t.confidence <= 0.4),
  };
}

function mixtureOf(frames: number, made: (k: number) => MadeFrame): TrailMixture | null {
  const { bad, calm } = sorted(frames, made);
  return trailMixture(bad, calm);
}

const numbers = (trails: readonly TrailedFrame[] | undefined): number[] =>
  (trails ?? []).map((t) => Number(t.fact.file.replace(/\D/g, '')) - 1);

/** Gusts within 10 degrees of one direction, wider across too, by the frame. */
const GUSTS: Readonly<Record<number, MadeFrame>> = {
  1: { trailArcsec: 1.1, trailDeg: 147, seeingArcsec: 3 },
  3: { trailArcsec: 1.7, trailDeg: 163, seeingArcsec: 3.2 },
  4: { trailArcsec: 1.3, trailDeg: 152, seeingArcsec: 3.1 },
  12: { trailArcsec: 1.5, trailDeg: 158, seeingArcsec: 3.2 },
};

describe('trailMixture', () => {
  it('finds the mount among gusts from one side, though its trails grow from frame to frame', () => {
    const growing: Record<number, MadeFrame> = {
      7: { trailArcsec: 0.9, trailDeg: 2 },
      8: { trailArcsec: 1.3, trailDeg: 1 },
      9: { trailArcsec: 1.8, trailDeg: 2 },
    };
    const mixture = mixtureOf(14, (k) => growing[k] ?? GUSTS[k] ?? {});
    expect(numbers(mixture?.mount)).toEqual([7, 8, 9]);
    expect(numbers(mixture?.wind)).toEqual([1, 3, 4, 12]);
    expect(mixture?.overWind).toBeGreaterThan(1);
    expect(mixture?.overMount).toBeGreaterThan(1);
  });

  it('does not make a mount of gusts that happen to lie alike', () => {
    const alike: Record<number, MadeFrame> = {
      ...GUSTS,
      6: { trailArcsec: 1.6, trailDeg: 163, seeingArcsec: 3.2 },
      9: { trailArcsec: 1, trailDeg: 140, seeingArcsec: 3 },
    };
    expect(mixtureOf(14, (k) => alike[k] ?? {})?.overWind ?? 0).toBeLessThan(1);
  });

  it('is null for trails of one axis, and for fewer than three', () => {
    expect(mixtureOf(10, (k) => (k > 3 && k < 8 ? { trailArcsec: 1.4, trailDeg: 2 } : {}))).toBeNull();
    expect(
      mixtureOf(10, (k) => (k === 3 || k === 6 ? { trailArcsec: 1.4, trailDeg: 50 * k } : {})),
    ).toBeNull();
  });
});

describe('windOverMount', () => {
  it('is positive for gusts, negative for one axis, nothing without a trail', () => {
    const gusts = sorted(14, (k) => GUSTS[k] ?? {});
    expect(windOverMount(gusts.bad, gusts.calm)).toBeGreaterThan(2);
    const mount = sorted(14, (k) => (k > 3 && k < 8 ? { trailArcsec: 1.4, trailDeg: 2 } : {}));
    expect(windOverMount(mount.bad, mount.calm)).toBeLessThan(-2);
    expect(windOverMount([], mount.calm)).toBe(0);
  });

  it('does without the widths of calm frames', () => {
    const gusts = sorted(14, (k) => GUSTS[k] ?? {});
    expect(windOverMount(gusts.bad, [])).toBeGreaterThan(0);
  });
});
