import { describe, expect, it } from 'vitest';
import { ladderPlot } from '../../../src/report/ladder/ladder-plot.js';
import { madeSweep } from '../sweep/made-sweep.js';
import { madeLadder } from './made-ladder.js';

describe('curvature against spacing', () => {
  it('has a dot with its error for each sweep, the line and the best spacing in words', () => {
    const svg = ladderPlot(madeLadder, 616, 'w')!.text;
    expect((svg.match(/<circle/g) ?? []).length).toBe(2);
    expect((svg.match(/class="error"/g) ?? []).length).toBe(2);
    expect(svg).toContain('crosses zero at 55.21 ± 0.04 mm');
    expect(svg).not.toContain('NaN');
  });

  it('draws the critical focus zone where it is known', () => {
    const sweeps = [{ spacingMm: 54, sweep: madeSweep() }];
    expect(ladderPlot({ ...madeLadder, sweeps }, 616, 'w')!.text).toContain('critical focus zone, 67 µm');
    expect(ladderPlot(madeLadder, 616, 'w')!.text).not.toContain('critical focus zone');
  });

  it('draws no line where there is none, and nothing without a sweep', () => {
    expect(ladderPlot({ ...madeLadder, line: null, bestSpacingMm: null }, 616, 'w')!.text).not.toContain(
      'class="curve"',
    );
    expect(ladderPlot({ ...madeLadder, points: [] }, 616, 'w')).toBeNull();
  });
});
