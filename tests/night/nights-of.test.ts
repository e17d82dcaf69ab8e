import { describe, expect, it } from 'vitest';
import { nightNumbers, nightsOf } from '../../src/night/nights-of.js';
import { madeFrame } from './made-frames.js';

const at = (...starts: (string | null)[]) =>
  nightsOf(starts.map((dateObs, i) => madeFrame(`${i}`, { header: { dateObs } })));

describe('the nights of a set of frames', () => {
  it('are one when it runs past midnight', () => {
    expect(at('2026-11-24T19:00:00Z', '2026-11-24T23:50:00Z', '2026-11-25T04:30:00Z')).toEqual([
      '2026-11-24',
    ]);
  });

  it('are parted by a day, whatever the order of the frames', () => {
    expect(at('2026-11-26T19:00:00Z', '2026-11-24T19:00:00Z', '2026-11-25T02:00:00Z')).toEqual([
      '2026-11-24',
      '2026-11-26',
    ]);
  });

  it('are none without start times', () => {
    expect(at(null, null)).toEqual([]);
  });
});

describe("the number of a frame's night", () => {
  it('counts the nights in order of time; frames without one go with the first', () => {
    const starts = ['2026-11-26T19:00:00Z', '2026-11-24T19:00:00Z', null, '2026-11-25T02:00:00Z'];
    expect(nightNumbers(starts.map((dateObs, i) => madeFrame(`${i}`, { header: { dateObs } })))).toEqual([
      1, 0, 0, 0,
    ]);
  });
});
