import { describe, expect, it } from 'vitest';
import type { LinearWcs } from '../../src/fits/types.js';
import { arcsecPerPx, derivePlateScale } from '../../src/optics/plate-scale.js';
import { headerWith } from './frame-header-sketch.js';

const wcsOf = (scale: number): LinearWcs => ({
  cd: [
    [-scale / 3600, 0],
    [0, scale / 3600],
  ],
  crval: null,
  crpix: null,
  source: 'CD',
});
const optics = { pixelSizeMicron: [3.76, 3.76], focalLengthMm: 530, apertureMm: 106 } as const;

describe('arcsecPerPx', () => {
  it('3.76 um behind 530 mm is 1.4633 "/px', () => {
    // 206.264806 * 3.76 / 530, by hand.
    expect(arcsecPerPx(3.76, 530)).toBeCloseTo(1.4633, 4);
  });
});

describe('derivePlateScale', () => {
  it('falls back from option to WCS to keyword to focal length', () => {
    const all = headerWith({ ...optics, wcs: wcsOf(1.47), scaleKeywordArcsecPerPx: 1.46 });
    const source = (...args: Parameters<typeof derivePlateScale>): string | undefined =>
      derivePlateScale(...args).scale?.source;
    expect(source(all, 1.5)).toBe('option');
    expect(source(all)).toBe('wcs');
    expect(source({ ...all, wcs: null })).toBe('keyword');
    expect(source(headerWith(optics))).toBe('focal-length');
  });

  it('gives effective focal length and focal ratio of the scale used', () => {
    const { scale } = derivePlateScale(headerWith({ ...optics, wcs: wcsOf(1.4633 / 0.8) }));
    expect(scale!.focalLengthMm).toBeCloseTo(530 * 0.8, 1);
    expect(scale!.focalRatio).toBeCloseTo(4, 2);
  });

  it('reports sources more than 2 % apart, with the focal length implied', () => {
    const { scale } = derivePlateScale(headerWith({ ...optics, wcs: wcsOf(1.4633 / 0.8) }));
    expect(scale!.conflicts).toHaveLength(1);
    expect(scale!.conflicts[0]).toMatch(
      /530 mm.*1\.463 "\/px.*1\.829 "\/px.*effective focal length of 424 mm/,
    );
    expect(derivePlateScale(headerWith({ ...optics, wcs: wcsOf(1.44) })).scale!.conflicts).toEqual([]);
  });

  it('takes aperture times focal ratio for a focal length that is missing', () => {
    const header = headerWith({ ...optics, focalLengthMm: null, focalRatio: 5 });
    expect(derivePlateScale(header).scale!.arcsecPerPx).toBeCloseTo(1.4633, 4);
  });

  it('measures a rotated, skewless WCS by its determinant, and ignores a placeholder', () => {
    const [c, s] = [Math.cos(0.7) / 1800, Math.sin(0.7) / 1800];
    const rotated: LinearWcs = { ...wcsOf(1), cd: [[-c, s], [s, c]] }; // prettier-ignore
    expect(derivePlateScale(headerWith({ wcs: rotated })).scale!.arcsecPerPx).toBeCloseTo(2, 10);
    expect(derivePlateScale(headerWith({ wcs: wcsOf(3600) })).scale).toBeNull();
  });

  it('says what is missing', () => {
    expect(derivePlateScale(headerWith({})).reason).toMatch(/no focal length and no pixel size/);
    expect(derivePlateScale(headerWith({ focalLengthMm: 500 })).reason).toMatch(/pixel size is missing/);
    expect(derivePlateScale(headerWith({ pixelSizeMicron: [9, 9] })).reason).toMatch(
      /focal length is missing/,
    );
  });

  it('throws for an option that is no scale', () => {
    for (const option of [0, -1, NaN, Infinity]) {
      expect(() => derivePlateScale(headerWith({}), option)).toThrow(RangeError);
    }
  });
});
