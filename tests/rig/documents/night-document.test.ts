import { expect, it } from 'vitest';
import { parseNightDocument } from '../../../src/rig/documents/night-document.js';
import { madeDocument } from '../made-history.js';

it('reads what `cull --json` writes, found causes included', () => {
  const document = {
    ...madeDocument('2026-03-01'),
    night: { causes: [{ code: 'dew', confidence: 0.9, frames: ['a.fits'] }] },
  };
  const night = parseNightDocument(JSON.stringify(document), 'night.json');
  expect(night.frames).toHaveLength(5);
  expect(night.frames[0].header.telescope).toBe('Marsh 106');
  expect(night.optics[0].tilt?.span).toBe(20);
  expect(night.night.causes[0]).toMatchObject({ code: 'dew', answer: 'found' });
});

it('what is missing or of the wrong kind counts as not measured', () => {
  const frame = {
    file: 'a.fits',
    header: { dateObs: '2026-03-01T20:00:00.000Z', gain: 'high' },
    decision: 'keep',
    elongation: null,
  };
  const night = parseNightDocument(
    JSON.stringify({ schema: 'starassay/night@1', frames: [frame] }),
    'night.json',
  );
  expect(night.frames[0]).toMatchObject({
    elongation: null,
    blur: null,
    scale: null,
    fwhm: { arcsec: null },
    header: { gain: null, filter: null },
  });
  expect(night.optics).toEqual([]);
});

it('says what is wrong with anything else', () => {
  expect(() => parseNightDocument('{', 'night.json')).toThrow(/night\.json is not a JSON document/);
  expect(() => parseNightDocument('{"schema":"other"}', 'night.json')).toThrow(
    /not a night document: schema/,
  );
  expect(() => parseNightDocument('{"schema":"starassay/night@1","frames":[{}]}', 'n')).toThrow(/frames\.0/);
  expect(() => parseNightDocument('[]', 'n')).toThrow(/not a night document/);
});
