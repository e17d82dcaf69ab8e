import { describe, expect, it } from 'vitest';
import { frameRow } from '../../src/rig/frame-row.js';
import { frameColumns } from '../../src/rig/schema.js';
import { madeFrame } from './made-history.js';

describe('row of a frame', () => {
  it('fills every column of the table, and no other', () => {
    expect(Object.keys(frameRow(madeFrame(), 3)).sort()).toEqual(Object.keys(frameColumns).sort());
  });

  it('turns what is no number into null, and keeps blur only in arcseconds', () => {
    const frame = madeFrame();
    const odd = {
      ...frame,
      elongation: NaN,
      weight: Infinity,
      blur: { ...frame.blur!, unit: 'px' as const },
    };
    expect(frameRow(odd, NaN)).toMatchObject({
      elongation: null,
      weight: null,
      trackingArcsec: null,
      focusOffsetMicron: null,
    });
    expect(frameRow(frame, 4)).toMatchObject({
      kept: 1,
      trackingArcsec: 0.9,
      focusOffsetMicron: 4,
      airmass: 1,
      scaleSource: 'wcs',
    });
  });
});
