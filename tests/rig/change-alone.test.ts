import { expect, it } from 'vitest';
import { atTheChange, changeAlone, changesWithin, movedElsewhere } from '../../src/rig/change-alone.js';
import { pointsOf, wobble } from './made-history.js';

const series = (shape: (night: number) => number, count = 80) =>
  pointsOf(wobble(count).map((v, i) => 20 + v + shape(i)));
const cut = (points: ReturnType<typeof series>, at: number) =>
  [points.slice(0, at), points.slice(at)] as const;

it('an earlier and a later change cut the ranges', () => {
  const points = series((i) => (i < 20 ? 0 : i < 60 ? 30 : 5));
  const alone = changeAlone(...cut(points, 40));
  expect(alone).toMatchObject({ since: points[20].date, until: points[60].date });
  expect([alone.before.length, alone.after.length]).toEqual([20, 20]);
  expect(changesWithin(points)).toEqual([points[20].date, points[60].date]);
});

it('a drift is carried to the change, and adds its own error; a level is left as it is', () => {
  const [before, after] = cut(
    series((i) => (i < 40 ? 0.5 * i : 0)),
    40,
  );
  const { before: carried, after: level, drifted, error } = atTheChange(before, after);
  expect(level).toEqual(after.map(({ value }) => value));
  const mean = carried.reduce((a, b) => a + b, 0) / carried.length;
  expect(Math.abs(mean - 39.5)).toBeLessThan(1);
  expect(Math.abs(drifted.before - 15)).toBeLessThan(1);
  expect(drifted.after).toBe(0);
  // Slope error of 40 nights with scatter 1 is 1 / sqrt(40^3 / 12) = 0.014 a night, carried over 20 nights; the wobble's scatter is about 1.
  expect(error).toBeGreaterThan(0.05);
  expect(error).toBeLessThan(0.8);
});

it('a step between the ranges is no elsewhere, one within a range is, and so is a drift through both', () => {
  expect(
    movedElsewhere(
      ...cut(
        series((i) => (i < 40 ? 0 : 20)),
        40,
      ),
    ),
  ).toBeNull();
  const early = series((i) => (i < 20 ? 0 : 20));
  expect(movedElsewhere(...cut(early, 40))).toEqual({ date: early[20].date, drift: null });
  const drift = series((i) => 0.4 * i);
  expect(movedElsewhere(...cut(drift, 40))).toEqual({
    date: null,
    drift: { from: drift[0].date, to: drift[79].date },
  });
  expect(
    movedElsewhere(
      ...cut(
        series(() => 0),
        40,
      ),
    ),
  ).toBeNull();
  expect(movedElsewhere(...cut(drift.slice(0, 10), 5))).toBeNull();
});
