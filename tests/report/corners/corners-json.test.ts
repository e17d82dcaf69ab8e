import { expect, it } from 'vitest';
import { cornersJson } from '../../../src/report/corners/corners-json.js';
import { cornersReport } from '../../../src/report/corners/corners-report.js';
import { syntheticNight } from '../synthetic-night.js';

it('gives the figures of each group, its cells and corners, the causes and the fit', () => {
  const report = cornersReport(syntheticNight({ frames: 4 }));
  const document = JSON.parse(JSON.stringify(cornersJson(report)));
  expect(document.schema).toBe('starassay/corners@1');
  const [group] = document.groups;
  expect(group.field.tilt.directionDeg).toBeCloseTo(212, 6);
  expect(group.field.cells).toHaveLength(35);
  expect(group.field.corners.map((corner: { name: string }) => corner.name)).toEqual([
    'top-left',
    'top-right',
    'bottom-left',
    'bottom-right',
  ]);
  expect(group.scale).toEqual({ arcsecPerPx: 1.46 });
  expect(document.causes[0].code).toBe('sensor-tilt');
  expect(document.optics[0].tilt.span).toBe(38);
});
