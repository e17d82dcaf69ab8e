import { expect, it } from 'vitest';
import { bestBend } from '../../src/stats/best-bend.js';

const days = Array.from({ length: 40 }, (_, i) => i);

it('finds where a level turns into a rise, and the level there', () => {
  const y = days.map((day) => 3 + Math.max(0, day - 24.5) * 0.5);
  const bend = bestBend(days, y, [false, true], 4)!;
  expect(bend.index).toBe(25);
  expect(bend.level).toBeCloseTo(3, 9);
  expect(bend.misfit).toBeCloseTo(0, 9);
});

it('two slopes that meet, and a jump that no bend describes', () => {
  const roof = days.map((day) => (day < 19.5 ? day : 39 - day));
  expect(bestBend(days, roof, [true, true], 4)).toMatchObject({ index: 20 });
  const jump = days.map((day) => (day < 20 ? 0 : 10));
  expect(bestBend(days, jump, [false, true], 4)!.misfit).toBeGreaterThan(100);
});

it('a series too short for both margins has none', () => {
  expect(bestBend([0, 1, 2], [0, 0, 1], [false, true], 4)).toBeNull();
});
