import { describe, expect, it } from 'vitest';
import { summariseNight } from '../../src/night/summarise-night.js';
import { madeJudged } from './made-frames.js';

const group = (frames: number, kept: number) => ({
  name: 'g',
  frames,
  kept,
  reference: { fwhmPx: 2.4, fwhmArcsec: 3.6, elongation: 1.1, level: 800, noise: 12 },
});
const reject = (code: 'fwhm' | 'elongation', i: number) =>
  madeJudged(`r${i}`, {}, { decision: 'reject', reasons: [{ code, message: '', value: 1, limit: 1 }] });

describe('summariseNight', () => {
  it('counts, adds up the light kept and says why the rest was not', () => {
    const frames = [
      madeJudged('a'),
      madeJudged('b', { fwhmPx: 2.8 }),
      reject('fwhm', 1),
      reject('fwhm', 2),
      reject('elongation', 3),
    ];
    const summary = summariseNight(frames, [group(5, 2)], 1);
    expect(summary).toMatchObject({
      frames: 5,
      kept: 2,
      rejected: 3,
      unreadable: 1,
      exposureSecondsKept: 240,
    });
    expect(summary.medianFwhmPx).toBeCloseTo(2.6);
    expect(summary.medianFwhmArcsec).toBeCloseTo(3.9);
    expect(summary.text.join(' ')).toMatch(
      /2 of 5 subs.*4 min.*soft stars.*2.*drawn-out.*1.*1 file could not/,
    );
  });

  it('says so when all are good, when there is one, and when there is none', () => {
    expect(summariseNight([madeJudged('a'), madeJudged('b')], [group(2, 2)], 0).text[0]).toContain(
      'All 2 subs',
    );
    const one = summariseNight([madeJudged('a', { arcsecPerPx: null })], [group(1, 1)], 0);
    expect(one.text.join(' ')).toMatch(/no other of the same target.*2.40 px/);
    expect(one.medianFwhmArcsec).toBeNull();
    expect(summariseNight([], [], 2)).toMatchObject({ medianFwhmPx: null, exposureSecondsKept: 0 });
  });
});
