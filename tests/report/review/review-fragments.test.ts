import { expect, it } from 'vitest';
import { changedFragments, reviewFragments } from '../../../src/report/review/review-fragments.js';
import { reviewPage } from '../../../src/report/review/review-page.js';
import { syntheticNight } from '../synthetic-night.js';

const night = syntheticNight({ frames: 4 });
const file = night.frames[1]!.file;
const against = {
  code: 'elongation',
  message: 'elongation 1.81 is over the limit 1.35',
  value: 1.81,
  limit: 1.35,
} as const;
const own = { code: 'overruled', message: 'kept by your own decision', value: null, limit: null } as const;
const decided = (decision: 'keep' | 'reject', reasons: readonly (typeof own | typeof against)[]) => ({
  ...night,
  frames: night.frames.map((frame) => (frame.file === file ? { ...frame, decision, reasons } : frame)),
});

it('each fragment has its element in the page', () => {
  const page = reviewPage(night, { pictures: false });
  for (const id of reviewFragments(night).keys()) expect(page).toContain(`id="${id}"`);
});

it('a decision changes the verdict and the row, summary and words of its sub alone', () => {
  const before = reviewFragments(decided('reject', [against]));
  const now = reviewFragments(decided('keep', [own, against]));
  const changed = changedFragments(before, now);
  expect(Object.keys(changed)).toEqual(['verdict-now', 't1', 's1', 'w1']);
  expect(changed['t1']).toContain('kept by you, against: elongation 1.81 is over the limit 1.35');
  expect(changed['w1']).toContain('kept by you, against: elongation 1.81');
  expect(before.get('verdict-now')).toContain('drawn-out stars');
  expect(changed['verdict-now']).not.toContain('drawn-out stars');
  expect(changedFragments(now, now)).toEqual({});
});
