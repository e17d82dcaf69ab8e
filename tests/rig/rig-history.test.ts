import { describe, expect, it } from 'vitest';
import type { FrameAssessment } from '../../src/field/types.js';
import { recordNight } from '../../src/rig/record-night.js';
import { rigHistory, rigOfFrames } from '../../src/rig/rig-history.js';
import { madeFrame, madeNight, madeStore, onlyRig, wobble } from './made-history.js';

const history = (nights = 20) => madeStore(wobble(nights).map((v) => ({ fwhmArcsec: 2.5 + 0.1 * v })));
const framesOf = (date: string) => madeNight(date).frames as unknown as FrameAssessment[];

describe('what the history knows of the rig behind some frames', () => {
  it('finds the rig of frames without writing', () => {
    const store = history();
    expect(rigOfFrames(store, [madeFrame()])?.id).toBe(onlyRig(store).id);
    expect(rigOfFrames(store, [madeFrame({ header: { camera: 'Heron 9M' } })])).toBeNull();
    expect(rigOfFrames(store, [])).toBeNull();
    store.close();
  });

  it('no night is its own yardstick: recorded already or not, it is held against the others', () => {
    const store = history();
    const before = rigHistory(store, framesOf('2026-03-01'));
    recordNight(store, madeNight('2026-03-01', { fwhmArcsec: 9 }));
    expect(rigHistory(store, framesOf('2026-03-01'))).toEqual(before);
    expect(before!.normals.figures['fwhm-zenith']!.nights).toBe(20);
    store.close();
  });

  it('says nothing of a rig with too few nights', () => {
    const store = history(5);
    expect(rigHistory(store, framesOf('2026-03-01'))).toBeNull();
    store.close();
  });
});
