import { describe, expect, it } from 'vitest';
import { frameRow } from '../../src/rig/frame-row.js';
import { frameFigures, opticsFigures } from '../../src/rig/night-figures.js';
import { madeNight, type MadeNight } from './made-history.js';

const rowsOf = (choice: MadeNight = {}) =>
  madeNight('2026-03-01', { frames: 5, ...choice }).frames.map((frame) => frameRow(frame, null));
const figure = (figures: readonly { metric: string; value: number }[], metric: string) =>
  figures.find((f) => f.metric === metric)?.value;
const optics = (choice: MadeNight = {}) => ({
  ...madeNight('2026-03-01', choice).optics[0],
  widthPx: 6248,
  heightPx: 4176,
});

describe('figures of a night', () => {
  it('the joint fit gives tilt as span and vector, curvature and astigmatism', () => {
    const figures = opticsFigures(optics({ tiltMicron: 20, tiltDirectionDeg: 90 }), []);
    expect(figure(figures, 'tilt')).toBe(20);
    expect(figure(figures, 'tilt-x')).toBeCloseTo(0, 12);
    expect(figure(figures, 'tilt-y')).toBeCloseTo(20, 12);
    expect(figure(figures, 'curvature')).toBe(-30);
    expect(figure(figures, 'coma-centre')).toBe(0);
  });

  it('without known signs there is no curvature, without micrometres no tilt', () => {
    expect(figure(opticsFigures({ ...optics(), signsKnown: false }, []), 'curvature')).toBeUndefined();
    expect(figure(opticsFigures({ ...optics(), unit: 'px-blur' }, []), 'tilt')).toBeUndefined();
    expect(opticsFigures(null, [])).toEqual([]);
  });

  it('FWHM and seeing are brought to the zenith', () => {
    const figures = frameFigures(rowsOf({ fwhmArcsec: 3, airmass: 2 }));
    expect(figure(figures, 'fwhm-zenith')).toBeCloseTo(3 / 2 ** 0.6, 12);
    expect(figure(figures, 'seeing-zenith')).toBeCloseTo(2.2 / 2 ** 0.6, 12);
  });

  it('the blur of the rig leaves the seeing out', () => {
    expect(figure(frameFigures(rowsOf()), 'rig-blur')).toBeCloseTo(Math.hypot(0.4, 0.2, 0.3, 0.9), 12);
  });

  it('guiding splits the tracking blur by the angle on the sky', () => {
    const figures = frameFigures(rowsOf().map((row) => ({ ...row, trailSkyAngleDeg: 30 })));
    const rms = 0.9 / (2 * Math.sqrt(2 * Math.LN2));
    expect(figure(figures, 'guiding-ra')).toBeCloseTo(rms * 0.5, 12);
    expect(figure(figures, 'guiding-dec')).toBeCloseTo(rms * Math.sqrt(0.75), 12);
    const unknown = rowsOf().map((row) => ({ ...row, trailSkyAngleDeg: null, trailAxis: null }));
    expect(figure(frameFigures(unknown), 'guiding-ra')).toBeUndefined();
  });

  it('sky brightness comes from the noise, read noise taken off', () => {
    const rows = rowsOf().map((row) => ({ ...row, noise: 12 }));
    const electrons = (12 * 0.25) ** 2 - 1.5 ** 2;
    expect(figure(frameFigures(rows), 'sky-brightness')).toBeCloseTo(electrons / 110 / 1.4633 ** 2, 12);
    expect(
      figure(frameFigures(rows.map((row) => ({ ...row, electronsPerAdu: null }))), 'sky-brightness'),
    ).toBeUndefined();
  });

  it('focal length counts only where a WCS measured it', () => {
    expect(figure(frameFigures(rowsOf()), 'focal-length')).toBe(530);
    const typed = rowsOf().map((row) => ({ ...row, scaleSource: 'focal-length' }));
    expect(figure(frameFigures(typed), 'focal-length')).toBeUndefined();
    expect(figure(frameFigures(rowsOf().map((row) => ({ ...row, binning: 2 }))), 'scale')).toBeCloseTo(
      1.4633 / 2,
      12,
    );
  });

  it('keep rate, and nothing from two frames', () => {
    expect(figure(frameFigures(rowsOf()), 'keep-rate')).toBe(80);
    expect(frameFigures(rowsOf({ frames: 2 }))).toEqual([]);
    expect(frameFigures([])).toEqual([]);
  });
});
