import { describe, expect, it } from 'vitest';
import { sectionPlot } from '../../../src/report/sweep/section-plot.js';
import { madeSweep } from './made-sweep.js';

describe('the cut through the surfaces', () => {
  it('draws both surfaces and the focus zone to scale', () => {
    const svg = sectionPlot(madeSweep()).text;
    for (const part of ['class="tangential"', 'class="sagittal"', 'critical focus zone, 67 µm'])
      expect(svg).toContain(part);
    expect(svg).not.toContain('NaN');
  });

  it('runs along the steeper diagonal', () => {
    const down = madeSweep({ surface: { tiltX: 10, tiltY: -10, tangential: 0, sagittal: 0 } });
    expect(sectionPlot(down).text).toContain('top left to bottom right');
  });

  it('leaves the zone out when the focal ratio is not known', () => {
    expect(sectionPlot(madeSweep({ focusZone: null })).text).not.toContain('critical focus zone');
  });
});
