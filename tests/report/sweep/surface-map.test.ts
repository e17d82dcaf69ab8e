import { describe, expect, it } from 'vitest';
import { medialHeight, surfaceMap } from '../../../src/report/sweep/surface-map.js';
import { madeSweep } from './made-sweep.js';

describe('the surface as contours', () => {
  it('writes the measured height into every part of the field', () => {
    const svg = surfaceMap(madeSweep()).text;
    // Centre tile: 5 um of both surfaces against the centre's 5 um.
    expect(svg).toMatch(/>\s*0\s*</);
    expect((svg.match(/class="name"/g) ?? []).length).toBe(9);
  });

  it('is the plane and the mean of the two curvatures', () => {
    expect(medialHeight(madeSweep(), 1, 0)).toBe(10 - 25);
    expect(medialHeight(madeSweep(), 0, 0)).toBe(0);
  });

  it('survives a surface that is perfectly flat', () => {
    const flat = madeSweep({ surface: { tiltX: 0, tiltY: 0, tangential: 0, sagittal: 0 } });
    expect(surfaceMap(flat).text).not.toContain('NaN');
  });
});
