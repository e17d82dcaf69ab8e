import { describe, expect, it } from 'vitest';
import { frameIdentities, frameIdentity } from '../../src/rig/frame-identity.js';
import { madeFrame, madeNight } from './made-history.js';

describe('identity of a frame', () => {
  const frame = madeFrame();

  it('knows nothing of name, folder, file length and measured figures', () => {
    const moved = {
      ...frame,
      file: 'elsewhere/renamed.fits.fz',
      fileBytes: 9,
      fwhm: { px: 9, arcsec: 9, standardError: 1 },
    };
    expect(frameIdentity(moved)).toBe(frameIdentity(frame));
    expect(frameIdentity(frame)).toMatch(/^[0-9a-f]{32}$/);
  });

  it('tells two exposures apart', () => {
    const identities = madeNight('2026-03-01', { frames: 20 }).frames.map(frameIdentity);
    expect(new Set(identities).size).toBe(20);
  });

  it('adds figures where the time stamp cannot tell: no time of day, or very short exposures', () => {
    for (const header of [
      { dateObs: '2026-03-01T00:00:00.000Z' },
      { exposureSeconds: 0.5, dateObs: '2026-03-01T20:00:01.000Z' },
    ]) {
      const short = { ...frame, header: { ...frame.header, ...header } };
      const other = { ...short, background: { ...short.background, noise: 13 } };
      expect(frameIdentity(other)).not.toBe(frameIdentity(short));
    }
  });

  it('keeps two equal cameras on one mount apart, but not two copies of a file', () => {
    const twin = { ...frame, file: 'other-camera.fits', background: { ...frame.background, noise: 14.2 } };
    const copy = { ...frame, file: 'copy.fits' };
    const [a, b] = frameIdentities([frame, twin]);
    expect(a).not.toBe(b);
    const [c, d] = frameIdentities([frame, copy]);
    expect(c).toBe(d);
    expect(c).toBe(frameIdentity(frame));
  });
});
