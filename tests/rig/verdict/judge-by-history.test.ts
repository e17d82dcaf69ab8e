import { describe, expect, it } from 'vitest';
import { rigNormals } from '../../../src/rig/normals.js';
import { judgeByHistory } from '../../../src/rig/verdict/judge-by-history.js';
import { madeNight, madeStore, onlyRig, wobble } from '../made-history.js';

const history = () => {
  const store = madeStore(
    wobble(20).map((v) => ({ tiltMicron: 15 + v, fwhmArcsec: 2.5 + 0.1 * v, elongation: 1.08 + 0.01 * v })),
  );
  const normals = rigNormals(store, onlyRig(store));
  store.close();
  return normals;
};

describe('a night against the history of its rig', () => {
  it('a whole night out of focus and tilted is recognised though no frame differs from the others', () => {
    const night = madeNight('2026-03-01', { fwhmArcsec: 5.5, tiltMicron: 60, frames: 20 });
    const found = judgeByHistory(night, history());
    expect(found.map((one) => one.metric)).toEqual(['tilt', 'fwhm-zenith']);
    expect(found[1]).toMatchObject({ value: 5.5, unit: '″', nights: 20 });
    expect(found[1].normalHigh).toBeLessThan(4);
    expect(found[1].sentence).toMatch(
      /^FWHM at the zenith of the whole night is 5\.50 ″; normal for this rig is .* \(20 nights, 2026-01-01 to 2026-01-20\)\. No sub shows this/,
    );
    expect(found[0].sentence).toMatch(/came loose in the imaging train since 2026-01-20\.$/);
  });

  it('a usual night raises nothing, nor does one without figures', () => {
    const normals = history();
    expect(judgeByHistory(madeNight('2026-03-01', { tiltMicron: 15, elongation: 1.08 }), normals)).toEqual(
      [],
    );
    expect(judgeByHistory({ ...madeNight('2026-03-01'), frames: [], optics: [] }, normals)).toEqual([]);
    const undated = madeNight('2026-03-01', { fwhmArcsec: 6, header: { dateObs: null } });
    expect(judgeByHistory(undated, normals).map((one) => one.metric)).toContain('fwhm-zenith');
  });
});
