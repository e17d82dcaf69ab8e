import { expect, it } from 'vitest';
import { stackWeights } from '../../src/night/stack-weight.js';
import { madeFrame } from './made-frames.js';

it('stackWeights is (T / (noise x FWHM))^2 relative to the best', () => {
  const frames = [
    madeFrame('a', { noise: 10, fwhmPx: 2 }),
    madeFrame('b', { noise: 20, fwhmPx: 2 }),
    madeFrame('c', { noise: 10, fwhmPx: 4 }),
    madeFrame('d', { noise: 10, fwhmPx: 2 }),
  ];
  const transparency = new Map([
    ['a', 1],
    ['b', 1],
    ['c', 1],
    ['d', 0.5],
  ]);
  expect(stackWeights(frames, transparency)).toEqual([1, 0.25, 0.25, 0.25]);
});

it('stackWeights is null where a figure is missing, and 1 for a single frame', () => {
  const transparency = new Map([
    ['a', 1],
    ['b', 1],
  ]);
  const frames = [madeFrame('a'), madeFrame('b', { noise: 0 }), madeFrame('c')];
  expect(stackWeights(frames, transparency)).toEqual([1, null, null]);
  expect(stackWeights([madeFrame('a')], new Map())).toEqual([1]);
  expect(stackWeights([madeFrame('a', { fwhmPx: null })], new Map())).toEqual([null]);
});
