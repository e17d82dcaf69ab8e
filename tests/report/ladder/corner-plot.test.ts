import { describe, expect, it } from 'vitest';
import { cornerPlot } from '../../../src/report/ladder/corner-plot.js';
import { madeLadder } from './made-ladder.js';

describe('corner stars against spacing', () => {
  it('shows the predictions on their curve, the centre beside them, in pixels without a scale', () => {
    const svg = cornerPlot(madeLadder, 616, 'w')!.text;
    expect((svg.match(/<circle/g) ?? []).length).toBe(2);
    expect(svg).toContain('centre, 2.40px');
    expect(svg).toContain('class="curve"');
    expect(svg).not.toContain('NaN');
  });

  it('is in arcsec where the scale is known', () => {
    const predictions = madeLadder.predictions.map((p) => ({ ...p, cornerFwhmArcsec: 2 * p.cornerFwhmPx }));
    expect(cornerPlot({ ...madeLadder, predictions }, 616, 'w')!.text).toContain('centre, 4.80″');
  });

  it('is none with fewer than two predictions', () => {
    expect(cornerPlot({ ...madeLadder, predictions: [] }, 616, 'w')).toBeNull();
  });
});
