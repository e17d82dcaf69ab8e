import { expect, it } from 'vitest';
import { frameJson, tidyNumbers } from '../../src/report/frame-json.js';
import { madeFrame, madeJudged } from '../night/made-frames.js';

it('frameJson gives a judged frame with every name of the contract', () => {
  const json = frameJson(
    madeJudged(
      'a.fits',
      {},
      { blur: { unit: 'arcsec', seeing: 2, focus: 1, tilt: 0, curvature: 0, coma: 0, tracking: 0 } },
    ),
  );
  // The names are those of the design's contract for `frames`.
  expect(json).toMatchObject({
    file: 'a.fits',
    group: expect.any(String) as string,
    header: {
      object: 'Harbour Nebula',
      filter: 'L',
      exposureSeconds: 120,
      gain: 100,
      binning: [1, 1],
      dateObs: null,
    },
    scale: { arcsecPerPx: 1.5, source: 'wcs' },
    stars: { detected: 200, measured: 200, saturated: 0 },
    fwhm: { px: 2.4, arcsec: 3.6, standardError: 0.01 },
    hfd: { px: 2.4, arcsec: 3.6 },
    elongation: 1.08,
    trail: { angleDeg: null, coherence: 0.1, skyAngleDeg: null, axis: null },
    background: { level: 800, noise: 12, gradientPercent: 3, gradientDirectionDeg: 90 },
    transparency: 1,
    weight: 1,
    field: {
      tilt: null,
      curvaturePercent: null,
      curvatureErrorPercent: null,
      radial: null,
      radialError: null,
      corners: [],
    },
    blur: { seeing: 2, focus: 1, tilt: 0, curvature: 0, tracking: 0 },
    decision: 'keep',
    reasons: [],
    causes: [],
  });
  expect(json).not.toHaveProperty('pictures');
  expect(json).not.toHaveProperty('registrationStars');
  expect(json).not.toHaveProperty('field.cells');
});

it('frameJson of a frame measured alone has its cells and no judgement', () => {
  const json = frameJson(madeFrame('a.fits', { fwhmPx: null, unmeasured: { fwhm: 'three stars only' } }));
  expect(json).toMatchObject({
    fwhm: { px: null },
    unmeasured: { fwhm: 'three stars only' },
    field: { cells: [] },
  });
  for (const name of ['group', 'decision', 'reasons', 'transparency', 'registration'])
    expect(json).not.toHaveProperty(name);
});

it('tidyNumbers keeps seven figures and turns what is no number into null', () => {
  expect(tidyNumbers({ a: 1 / 3, b: [Number.NaN, 5], c: 'x', d: null, e: Infinity, f: true })).toEqual({
    a: 0.3333333,
    b: [null, 5],
    c: 'x',
    d: null,
    e: null,
    f: true,
  });
});
