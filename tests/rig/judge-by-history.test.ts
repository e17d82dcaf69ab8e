import { describe, expect, it } from 'vitest';
import { historyLimits, judgeByHistory, rigOfFrames } from '../../src/rig/judge-by-history.js';
import { rigNormals } from '../../src/rig/normals.js';
import { madeFrame, madeNight, madeStore, onlyRig, wobble } from './made-history.js';

const history = () =>
  madeStore(
    wobble(20).map((v) => ({ tiltMicron: 15 + v, fwhmArcsec: 2.5 + 0.1 * v, elongation: 1.08 + 0.01 * v })),
  );

describe('a night against the history of its rig', () => {
  it('a whole night out of focus and tilted is recognised though no frame differs from the others', () => {
    const store = history();
    const normals = rigNormals(store, onlyRig(store));
    const found = judgeByHistory(
      madeNight('2026-03-01', { fwhmArcsec: 5.5, tiltMicron: 60, frames: 20 }),
      normals,
    );
    expect(found.map((one) => one.metric)).toEqual(['tilt', 'fwhm-zenith']);
    expect(found[1].sentence).toMatch(
      /^FWHM at the zenith of the whole night is 5\.50 ″; normal for this rig is .* \(20 nights, 2026-01-01 to 2026-01-20\)\.$/,
    );
    store.close();
  });

  it('a usual night raises nothing, nor does one without figures', () => {
    const store = history();
    const normals = rigNormals(store, onlyRig(store));
    expect(judgeByHistory(madeNight('2026-03-01', { tiltMicron: 15, elongation: 1.08 }), normals)).toEqual(
      [],
    );
    expect(judgeByHistory({ ...madeNight('2026-03-01'), frames: [], optics: [] }, normals)).toEqual([]);
    const undated = madeNight('2026-03-01', { fwhmArcsec: 6, header: { dateObs: null } });
    expect(judgeByHistory(undated, normals).map((one) => one.metric)).toContain('fwhm-zenith');
    store.close();
  });

  it('limits for single frames', () => {
    const store = history();
    const limits = historyLimits(rigNormals(store, onlyRig(store)));
    expect(limits.fwhmZenithArcsec).toBeGreaterThan(2.6);
    expect(limits.elongation).toBeGreaterThan(1.09);
    store.close();
    expect(historyLimits({ rigId: 'x', rigName: 'x', figures: {} })).toEqual({
      fwhmZenithArcsec: null,
      elongation: null,
    });
  });

  it('finds the rig of frames without writing', () => {
    const store = history();
    expect(rigOfFrames(store, [madeFrame()])?.id).toBe(onlyRig(store).id);
    expect(rigOfFrames(store, [madeFrame({ header: { camera: 'Heron 9M' } })])).toBeNull();
    expect(rigOfFrames(store, [])).toBeNull();
    store.close();
  });
});
