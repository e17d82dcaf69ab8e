import { describe, expect, it } from 'vitest';
import type { FrameAssessment } from '../../../src/field/types.js';
import { defaultSweepOptions } from '../../../src/night/sweep/index.js';
import { sweepData } from '../../../src/night/sweep/sweep-data.js';

const cells = Array.from({ length: 6 }, (_, i) => ({
  x: 100 + 100 * i,
  y: 200,
  stars: 5,
  mxx: 1.2,
  mxy: 0.1,
  myy: 1,
  mError: 0.02,
}));

function frame(
  step: number | null,
  change: { filter?: string; file?: string; widthPx?: number; cells?: unknown[] } = {},
): FrameAssessment {
  return {
    file: change.file ?? `f${step}.fits`,
    header: {
      filter: change.filter ?? 'L',
      focuserPosition: step,
      focuserMicronPerStep: 2,
      focalRatio: null,
      pixelSizeMicron: [3.8, 3.8],
    },
    image: { widthPx: change.widthPx ?? 800, heightPx: 600, mosaic: null, hdu: 0 },
    scale: { arcsecPerPx: 1, pixelPitchMicron: 3.8, focalRatio: 5 },
    field: { cells: change.cells ?? cells },
  } as unknown as FrameAssessment;
}

const five = [100, 200, 300, 400, 500].map((step) => frame(step));

describe('the frames of a sweep', () => {
  it('are placed in micrometres outwards about the middle', () => {
    const data = sweepData(five, defaultSweepOptions);
    expect(data.frames.map((f) => f.outward)).toEqual([-400, -200, 0, 200, 400]);
    expect(data).toMatchObject({
      micronPerStep: 2,
      micronPerStepSource: 'header',
      focalRatio: 5,
      pixelPitchMicron: 3.8,
    });
  });

  it('turn round when larger counts move inwards', () => {
    const data = sweepData(five, { ...defaultSweepOptions, inward: 'positive' });
    expect(data.frames.map((f) => f.positionStep)).toEqual([500, 400, 300, 200, 100]);
    expect(data.signGiven).toBe(true);
  });

  it('take the position from the file name when told how, signs and brackets included', () => {
    const named = [-10, 0, 10, 20].map((step) => frame(null, { file: `run(1)_pos${step}_x.fits` }));
    const data = sweepData(named, { ...defaultSweepOptions, positionPattern: 'run(1)_pos{step}_' });
    expect(data.frames.map((f) => f.positionStep)).toEqual([-10, 0, 10, 20]);
  });

  it('use single stars where they are at hand', () => {
    const star = { x: 400, y: 300, mxx: 1, mxy: 0, myy: 1, mError: 0.01, fwhm: 2.2 };
    const data = sweepData(
      five.map((f) => ({ ...f, starShapes: [star, star, star, { ...star, mxx: -3 }] })),
      defaultSweepOptions,
    );
    expect(data.frames[0]?.cells).toHaveLength(3);
    expect(data.frames[0]?.cells[0]?.stars).toBe(1);
    expect(data.frames[0]?.cells[0]?.momentOverFwhm2).toBeCloseTo(1 / 2.2 ** 2, 12);
  });

  it('name what is left out', () => {
    const data = sweepData(
      [...five, frame(null), frame(600, { widthPx: 400 }), frame(700, { cells: [] })],
      defaultSweepOptions,
    );
    expect(data.leftOut.map((l) => l.why)).toEqual([
      'no focuser position',
      'another image size',
      'no usable star (rings too wide, or stars too faint)',
    ]);
  });

  it.each([
    [[], {}, 'no readable frame'],
    [[frame(1), frame(2)], {}, '2 different focuser positions'],
    [[1, 1, 1, 1, 1].map((s) => frame(s)), {}, '1 different focuser position '],
    [[...five, frame(600, { filter: 'R' })], {}, '2 filters (L, R)'],
    [[frame(null), frame(null)], {}, 'no frame says where the focuser stood'],
    [five, { positionPattern: 'focus' }, 'where is the position?'],
    [five, { positionPattern: 'no{step}such' }, 'no file name matches'],
    [five, { micronPerStep: -3 }, 'makes no sense'],
  ])('are refused with words when they are no sweep (%#)', (frames, options, words) => {
    expect(() => sweepData(frames, { ...defaultSweepOptions, ...options })).toThrow(words);
  });
});
