import sharp from 'sharp';
import { expect, it } from 'vitest';
import { meanStars } from '../../../src/field/mean-stars.js';
import { groupAtlases } from '../../../src/report/pictures/group-atlases.js';
import { drawStars } from '../../field/drawn-stars.js';
import { syntheticNight } from '../synthetic-night.js';

it('one picture a group that has mean stars, of its kept subs', async () => {
  const size = { width: 600, height: 400, count: 150 };
  const drawn = (width: number) => drawStars({ ...size, shape: () => ({ xx: width, xy: 0, yy: 2 }) });
  const [round, long] = [drawn(2), drawn(9)].map(({ plane, background, table }) =>
    meanStars(plane, background, table),
  );
  const night = syntheticNight({
    frames: 8,
    filters: ['R', 'B'],
    pictures: (i) => ({
      preview: null,
      atlas: null,
      ...(i % 2 === 0 && { meanStars: i === 2 ? long : round }),
    }),
  });
  // The drawn-out sub counts only while it is kept.
  const decide = (decision: 'keep' | 'reject') => ({
    ...night,
    frames: night.frames.map((frame, i) => ({ ...frame, decision: i === 2 ? decision : ('keep' as const) })),
  });
  const [kept, rejected] = await Promise.all([groupAtlases(decide('keep')), groupAtlases(decide('reject'))]);
  expect([...rejected.keys()]).toEqual([night.groups[0]!.name]);
  const [both, without] = [[...kept.values()][0]!, [...rejected.values()][0]!];
  expect(await sharp(without).metadata()).toMatchObject({ format: 'png', channels: 1 });
  expect(Buffer.compare(both, without)).not.toBe(0);
});
