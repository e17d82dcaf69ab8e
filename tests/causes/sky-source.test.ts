import { describe, expect, it } from 'vitest';
import { calmFrames } from './judge.js';
import { madeNight } from './made-night.js';
import { nightSeries } from '../../src/causes/night-series.js';
import { moonPossible, moonWords, skyEvidence, skyWitness } from '../../src/causes/sky-source.js';
import type { FrameHeader } from '../../src/fits/types.js';

const witness = (header: Partial<FrameHeader>) =>
  skyWitness(nightSeries(madeNight({ frames: calmFrames(1, () => ({ header })) })).facts[0]);
const nowhere = { latitudeDeg: null, longitudeDeg: null };

describe('skyWitness', () => {
  it('tells day, twilight, moon and dark night where the place is known', () => {
    // 46.2 N, 11.4 E, September 2026: the Sun sets about 17:25 UT on the 12th (new moon on the 11th, full on the 26th; almanac, from memory).
    expect(witness({ dateObs: '2026-09-12T12:00:00Z' }).source).toBe('daylight');
    expect(witness({ dateObs: '2026-09-12T18:10:00Z' }).source).toBe('twilight');
    expect(witness({ dateObs: '2026-09-12T22:00:00Z' }).source).toBe('none');
    expect(witness({ dateObs: '2026-09-26T22:00:00Z' }).source).toBe('moon');
  });

  it('names a full moon near a high target without a place', () => {
    const found = witness({
      ...nowhere,
      dateObs: '2013-07-22T17:43:12Z',
      raDeg: 273.87,
      decDeg: -25.285,
      altitudeDeg: 60,
    });
    expect(found.source).toBe('moon');
    expect(found.lights).toBeNull();
    expect(moonWords(found)).toMatch(/^(99|100) % lit, 2[78] deg from the target$/);
    expect(skyEvidence(found).some((e) => e.what === 'lit part of the moon')).toBe(true);
  });

  it('denies nothing that it could not check', () => {
    const found = witness({ ...nowhere, dateObs: '2026-09-26T22:00:00Z', altitudeDeg: null, airmass: null });
    expect(found.source).toBe('unknown');
    expect(moonPossible(found)).toBe(true);
    expect(witness({ dateObs: null }).source).toBe('unknown');
    expect(moonWords(witness({ dateObs: null }))).toBeNull();
    expect(skyEvidence(witness({ dateObs: null }))).toEqual([]);
  });
});
