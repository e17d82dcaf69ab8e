import { describe, expect, it } from 'vitest';
import { groupByField, groupByFluxScale, groupFrames, sortByTime } from '../../src/night/group-frames.js';
import { madeFrame } from './made-frames.js';

const files = (frames: readonly { file: string }[]) => frames.map((frame) => frame.file);

describe('groupFrames', () => {
  it('tells apart by target, filter, exposure, gain, binning, camera and size', () => {
    const frames = [
      madeFrame('a'),
      madeFrame('b', { header: { object: 'Other' } }),
      madeFrame('c', { header: { filter: 'Ha' } }),
      madeFrame('d', { header: { exposureSeconds: 300 } }),
      madeFrame('e', { header: { gain: 0 } }),
      madeFrame('f', { header: { binning: [2, 2] } }),
      madeFrame('g', { header: { camera: 'B' } }),
      madeFrame('h', { widthPx: 1000 }),
      madeFrame('i'),
    ];
    const groups = groupFrames(frames);
    expect(groups.map((group) => files(group.frames))).toEqual([
      ['a', 'i'],
      ['b'],
      ['c'],
      ['d'],
      ['e'],
      ['f'],
      ['g'],
      ['h'],
    ]);
    expect(new Set(groups.map((group) => group.name)).size).toBe(groups.length);
  });

  it('looks past case, blanks and the inexactness of shutters', () => {
    const frames = [
      madeFrame('a', { header: { object: 'Harbour  Nebula', filter: 'Ha ', exposureSeconds: 300.045 } }),
      madeFrame('b', { header: { object: 'harbournebula', filter: 'HA', exposureSeconds: 300.04 } }),
      madeFrame('c', { header: { object: 'HARBOUR NEBULA', filter: 'ha', exposureSeconds: 299 } }),
    ];
    expect(groupFrames(frames).map((group) => group.name)).toEqual(['Harbour Nebula, Ha, 299 s']);
  });

  it('names what tells groups apart, and says what the header does not', () => {
    const names = groupFrames([
      madeFrame('a', { header: { object: null, filter: null, exposureSeconds: null } }),
      madeFrame('b', { header: { object: null, filter: null, exposureSeconds: null, gain: 0 } }),
    ]).map((group) => group.name);
    expect(names).toEqual([
      'unnamed target, no filter, exposure unknown, gain 100',
      'unnamed target, no filter, exposure unknown, gain 0',
    ]);
  });

  it('leaves out of a name what does not tell it from another', () => {
    const names = groupFrames([
      madeFrame('a', { header: { object: 'A', gain: 5 } }),
      madeFrame('b', { header: { object: 'B', camera: 'other' } }),
    ]).map((group) => group.name);
    expect(names).toEqual(['A, L, 120 s', 'B, L, 120 s']);
  });

  it('gives no group for no frame', () => {
    expect(groupFrames([])).toEqual([]);
  });
});

it('sortByTime sorts by start of exposure, then by name; frames without a time last', () => {
  const at = (file: string, dateObs: string | null) => madeFrame(file, { header: { dateObs } });
  const sorted = sortByTime([
    at('x10', null),
    at('x9', null),
    at('c', '2026-03-02T01:00:00.000Z'),
    at('b', '2026-03-01T23:00:00.000Z'),
    at('a', '2026-03-02T01:00:00.000Z'),
  ]);
  expect(files(sorted)).toEqual(['b', 'a', 'c', 'x9', 'x10']);
});

it('groupByField joins filters and exposures, groupByFluxScale exposures only', () => {
  const frames = [
    madeFrame('a'),
    madeFrame('b', { header: { filter: 'Ha', exposureSeconds: 300 } }),
    madeFrame('c', { header: { exposureSeconds: 300 } }),
    madeFrame('d', { header: { camera: 'B' } }),
  ];
  expect(groupByField(frames).map(files)).toEqual([['a', 'b', 'c'], ['d']]);
  expect(groupByFluxScale(frames).map(files)).toEqual([['a', 'c'], ['b'], ['d']]);
});
