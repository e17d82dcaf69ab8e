import { describe, expect, it } from 'vitest';
import { nightFigures } from '../../../src/report/panels/night-figures.js';
import { viewNight } from '../../../src/report/view.js';
import { syntheticNight } from '../synthetic-night.js';

const view = viewNight(syntheticNight({ frames: 6, filters: ['R', 'B'] }), { pictures: false });
const figure = (id: string) => nightFigures.find((entry) => entry.id === id)!;

describe('night figures', () => {
  it('take every figure from the record', () => {
    const frame = view.frames[2]!;
    const values = nightFigures.map((entry) => entry.of(frame, view));
    const { fwhm, hfd, elongation, background, transparency, header } = frame.frame;
    expect(values).toEqual([
      fwhm.arcsec,
      hfd.arcsec,
      elongation,
      background.level,
      transparency,
      header.focuserPosition,
      header.focuserTemperatureC,
    ]);
  });

  it('give the limits that decisions were made with, per group where they are relative', () => {
    expect(figure('fwhm').limits(view)).toEqual([
      { value: 2.3 * 1.46 * 1.25, group: 0 },
      { value: 2.3 * 1.46 * 1.25, group: 1 },
    ]);
    expect(figure('elongation').limits(view)).toEqual([{ value: 1.35, group: null }]);
    expect(figure('transparency').limits(view)).toEqual([{ value: 0.7, group: null }]);
    expect(figure('background').limits(view)).toEqual([]);
  });

  it('give no limit that is switched off', () => {
    const limits = { ...view.night.limits, fwhmFactor: null, fwhmArcsec: 4, elongation: null };
    const off = { ...view, night: { ...view.night, limits } };
    expect(figure('fwhm').limits(off)).toEqual([{ value: 4, group: null }]);
    expect(figure('elongation').limits(off)).toEqual([]);
  });
});
