import { describe, expect, it } from 'vitest';
import { hyperbolaPlot } from '../../../src/report/sweep/hyperbola-plot.js';
import { madeSweep } from './made-sweep.js';

describe('size against focus of one part of the field', () => {
  const sweep = madeSweep();
  const svg = hyperbolaPlot(sweep.tiles[0]!, sweep).text;

  it('has a dot and a square for every frame and a curve for either surface', () => {
    expect((svg.match(/class="dotT"/g) ?? []).length).toBe(3);
    expect((svg.match(/class="dotS"/g) ?? []).length).toBe(3);
    expect(svg).toMatch(/<path\s+class="tangential"\s+d="M/);
  });

  it('says both best-focus places in words for those who do not see it', () => {
    expect(svg).toContain('Best focus along the radius at');
  });
});
