import { describe, expect, it } from 'vitest';
import { shareScales } from '../../src/night/shared-scale.js';
import { madeFrame } from './made-frames.js';

const camera = { camera: 'Plover M9', telescope: 'Heron 300/1500' };

describe('shareScales', () => {
  it('gives a frame without focal length the scale of its siblings, in all its figures, and says so', () => {
    const bare = madeFrame('b.fits', {
      arcsecPerPx: null,
      header: camera,
      unmeasured: { scale: 'no focal length', 'fwhm.arcsec': 'no focal length', blur: 'kept' },
    });
    const { frames, warnings } = shareScales([madeFrame('a.fits', { header: camera }), bare]);
    expect(frames[1].scale?.arcsecPerPx).toBe(1.5);
    expect(frames[1].fwhm.arcsec).toBeCloseTo(1.5 * bare.fwhm.px!, 9);
    expect(frames[1].unmeasured).toEqual({ blur: 'kept' });
    expect(warnings).toEqual([
      'The header of 1 frame tells no plate scale: that of the other frames of the same camera and telescope was taken for it (1.5000"/px).',
    ]);
  });

  it('takes none from another camera, from siblings that disagree, or for a camera without a name', () => {
    const bare = madeFrame('b.fits', { arcsecPerPx: null, header: camera });
    const other = madeFrame('a.fits', { header: { ...camera, camera: 'Plover C26' } });
    expect(shareScales([other, bare]).frames[1].scale).toBeNull();
    const two = [1.5, 1.9].map((arcsecPerPx, i) => madeFrame(`${i}.fits`, { arcsecPerPx, header: camera }));
    expect(shareScales([...two, bare])).toEqual({ frames: [...two, bare], warnings: [] });
    const unnamed = ['c.fits', 'd.fits'].map((file, i) =>
      madeFrame(file, { header: { camera: null }, ...(i === 1 ? { arcsecPerPx: null } : {}) }),
    );
    expect(shareScales(unnamed).frames[1].scale).toBeNull();
  });
});
