import { afterEach, beforeEach, expect, it } from 'vitest';
import { madeDocument } from '../rig/made-history.js';
import { rigFolder } from './run-rig.js';

let rig: ReturnType<typeof rigFolder>;
beforeEach(async () => {
  rig = rigFolder();
  await rig.run(['record', '-'], JSON.stringify(madeDocument('2026-03-01')));
  await rig.run(
    ['record', '-'],
    JSON.stringify(madeDocument('2026-03-02', { header: { focalLengthMm: 424 } })),
  );
});
afterEach(() => rig.cleanUp());

it('name, merge, and back', async () => {
  expect((await rig.run(['name', 'Marsh 106, 530', 'long'])).out).toBe(
    '"Marsh 106, 530 mm, Heron 26M" is now called "long"\n',
  );
  await rig.run(['name', 'Marsh 106, 424', 'short']);
  const { out } = await rig.run(['merge', 'long', 'short']);
  const undo = /starassay rig (split \w+ --merged \w+)/.exec(out)![1];
  expect((await rig.run(['list'])).out).toContain('2 nights');
  expect((await rig.run(undo.split(' '))).out).toMatch(/^1 nights of "long" now belong to/);
  expect((await rig.run(['list'])).out).not.toContain('2 nights');
});

it('split wants to know what, and how to call it', async () => {
  await expect(rig.run(['split', 'Marsh 106, 530'])).rejects.toThrow(/which nights/);
  await expect(rig.run(['split', 'Marsh 106, 530', '--since', '2026-01-01'])).rejects.toThrow(/no name/);
  const { out } = await rig.run(['split', 'Marsh 106, 530', '--since', '2026-01-01', '--name', 'apart']);
  expect(out).toMatch(/^1 nights of .* now belong to apart/);
});
