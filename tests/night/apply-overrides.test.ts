import { expect, it } from 'vitest';
import { applyOverrides } from '../../src/night/apply-overrides.js';
import { madeJudged } from './made-frames.js';

it('applyOverrides puts own decisions over the limits, with the measured reasons kept', () => {
  const reason = { code: 'fwhm' as const, message: 'soft', value: 4, limit: 3 };
  const frames = [
    madeJudged('a', {}, { decision: 'reject', reasons: [reason] }),
    madeJudged('b'),
    madeJudged('c'),
  ];
  const reference = { fwhmPx: 2.4, fwhmArcsec: 3.6, elongation: 1.1, level: 800, noise: 12 };
  const groups = [{ name: frames[0]!.group, frames: 3, kept: 2, reference }];
  const night = applyOverrides(
    { frames, groups, warnings: [] },
    new Map([
      ['a', 'keep'],
      ['b', 'reject'],
      ['c', 'keep'],
      ['not there', 'reject'],
    ]),
  );
  expect(night.frames.map((frame) => frame.decision)).toEqual(['keep', 'reject', 'keep']);
  expect(night.frames[0]!.reasons.map((one) => one.code)).toEqual(['overruled', 'fwhm']);
  expect(night.frames[2]).toBe(frames[2]);
  expect(night.groups[0]!.kept).toBe(2);
});
