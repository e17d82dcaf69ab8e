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

  it('counts one as one, says below for less, and leaves out what could not be told', () => {
    const frame = madeFrame('a.fits', { arcsecPerPx: null });
    const corner = { fwhm: null, elongation: null, angleDeg: null, radial: null, stars: 1 };
    const text = frameText({
      ...frame,
      stars: { ...frame.stars, hotPixels: 1 },
      field: {
        ...frame.field,
        curvaturePercent: -8,
        curvatureErrorPercent: 1.2,
        radial: null,
        corners: [
          { ...corner, name: 'top-left' },
          { ...corner, name: 'top-right', fwhm: 2.5 },
        ],
      },
    });
    expect(text).toContain('1 hot pixel,');
    expect(text).not.toMatch(/^ {2}stars.{66,}/m);
    expect(text).toContain('FWHM 8.0 ± 1.2 % below the centre\n');
    expect(text).toMatch(/top-left +too few stars \(1\)\n/);
    expect(text).toMatch(/top-right +2\.50 px {2}1 star\n?/);
    expect(text.match(/--scale/g)).toHaveLength(1);
    const slope = { ...frame.field.tilt!, fwhmSpanPercent: 9.4, directionDeg: 212 };
    const sloping = (fwhmSpanErrorPercent: number) =>
      frameText({ ...frame, field: { ...frame.field, tilt: { ...slope, fwhmSpanErrorPercent } } });
    expect(sloping(1.1)).toContain('9.4 ± 1.1 % over the sensor, softer towards 212° (bottom left)\n');
    expect(sloping(9)).toMatch(/FWHM slope.*not significant\n/);
    const unsure = frameText({
      ...frame,
      field: {
        ...frame.field,
        curvaturePercent: 2,
        curvatureErrorPercent: 1.2,
        radial: 0.04,
        radialError: 0.03,
      },
    });
    expect(unsure).toContain('FWHM as in the centre (2.0 ± 1.2 %: not significant)');
    expect(unsure).toContain('radial elongation +0.040 ± 0.030 (not significant)');
    const none = frameText({ ...frame, field: { ...frame.field, curvaturePercent: null, radial: null } });
    expect(none).toMatch(/corners +cannot be told/);
  });

  it('lets nothing of a header act on the terminal', () => {
    const text = frameText(madeFrame('a\u001b[2J.fits', { header: { object: '\u001b]0;x\u0007\u202e' } }));
    expect(text).not.toMatch(/[^\P{Cc}\n]|\u202e/u);
  });
});
