import { describe, expect, it } from 'vitest';
import { madeNight } from '../causes/made-night.js';
import { calmFrames } from '../causes/judge.js';
import { focusSign } from '../../src/night/joint-fit-sign.js';
import { NOTHING_SHARED } from '../../src/night/joint-fit-start.js';
import { exactFrames } from './exact-frames.js';

const focus = [0, 1, 2, 0, 1, 2, 0, 1];
const owns = focus.map((z) => ({ seeing: 1.2, focus: z, plus: 0, cross: 0 }));
const errors = focus.map(() => 0.1);
const data = exactFrames(NOTHING_SHARED, owns);
const judged = madeNight({ frames: calmFrames(8) }).frames;
const withHeaders = (make: (k: number) => object) =>
  judged.map((f, k) => ({ ...f, header: { ...f.header, ...make(k) } }));

describe('focusSign', () => {
  it('learns the sign from a focuser that moved outwards and lessened the focus error', () => {
    const steps = [0, 0, 0, 100, 100, 100, 200, 200];
    const all = withHeaders((k) => ({ focuserPosition: 12000 + steps[k], ambientTemperatureC: null }));
    expect(focusSign(data, owns, errors, all)).toMatchObject({ sign: 1, source: 'focuser' });
    const inward = withHeaders((k) => ({ focuserPosition: 12000 - steps[k], ambientTemperatureC: null }));
    expect(focusSign(data, owns, errors, inward)).toMatchObject({ sign: -1, source: 'focuser' });
  });

  it('takes the user’s word for the sense of the focuser', () => {
    const all = withHeaders((k) => ({
      focuserPosition: 12000 + 100 * Math.floor(k / 3),
      ambientTemperatureC: null,
    }));
    expect(focusSign(data, owns, errors, all, 'negative')).toMatchObject({ sign: 1, source: 'focuser-said' });
    expect(focusSign(data, owns, errors, all, 'positive')).toMatchObject({
      sign: -1,
      source: 'focuser-said',
    });
  });

  it('learns it from a tube that cools with the focuser at rest', () => {
    const rising = owns.map((o, k) => ({ ...o, focus: 0.5 * k }));
    const all = withHeaders((k) => ({ ambientTemperatureC: 10 - k }));
    expect(focusSign(data, rising, errors, all)).toMatchObject({ sign: 1, source: 'cooling' });
    const warming = withHeaders((k) => ({ ambientTemperatureC: 10 + k }));
    expect(focusSign(data, rising, errors, warming)).toMatchObject({ sign: -1, source: 'cooling' });
  });

  it('leaves it open without a witness', () => {
    const all = withHeaders(() => ({ ambientTemperatureC: null, focuserPosition: null }));
    expect(focusSign(data, owns, errors, all).source).toBe('none');
  });
});
