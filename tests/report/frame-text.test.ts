import { describe, expect, it } from 'vitest';
import { frameText } from '../../src/report/frame-text.js';
import { madeFrame } from '../night/made-frames.js';

describe('one frame in full, as text', () => {
  it('gives each figure with its unit', () => {
    const text = frameText(madeFrame('sub_0001.fits', { fwhmPx: 2.4, arcsecPerPx: 1.5 }));
    expect(text.split('\n')[0]).toBe('sub_0001.fits');
    expect(text).toMatch(/FWHM +2\.4.*px +3\.60″/);
    expect(text).toContain('Harbour Nebula  filter L  120 s');
  });

  it('stays in pixels without a plate scale, and says why a figure is missing', () => {
    const text = frameText(
      madeFrame('a.fits', { arcsecPerPx: null, unmeasured: { scale: 'no focal length in the header' } }),
    );
    expect(text).toMatch(/plate scale +unknown/);
    expect(text).not.toContain('″');
    expect(text).toContain('no focal length in the header');
  });

  it('lets nothing of a header act on the terminal', () => {
    const text = frameText(madeFrame('a\u001b[2J.fits', { header: { object: '\u001b]0;x\u0007\u202e' } }));
    expect(text).not.toMatch(/[^\P{Cc}\n]|\u202e/u);
  });
});
