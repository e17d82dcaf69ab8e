import { describe, expect, it } from 'vitest';
import { ladderPage } from '../../../src/report/ladder/ladder-page.js';
import { madeLadder } from './made-ladder.js';

describe('the page of a ladder', () => {
  const page = ladderPage(madeLadder);

  it('stands alone: no script, no address, nothing to fetch', () => {
    expect(page).not.toMatch(/<script|<link|https?:\/\/(?!www\.w3\.org)/);
    expect(page).toContain('default-src');
  });

  it('leads with the best spacing and shows rungs, reasons, scale and advice', () => {
    expect(page).toContain('Best spacing 55.21 ± 0.04 mm.');
    expect(page).toContain('55 mm: no sweep, too few positions');
    expect(page).toContain('56 mm looks +0.30 mm off');
    expect(page).toContain('Set the spacing.');
  });

  it('says when nothing can be told, or that the evidence is weak', () => {
    expect(ladderPage({ ...madeLadder, bestSpacingMm: null })).toContain('No best spacing can be told');
    const weak = ladderPage({ ...madeLadder, evidence: 'single-frames', bracketed: false });
    expect(weak).toContain('from single frames, outside the rungs');
  });

  it('does without plots when no rung is a sweep', () => {
    const points = madeLadder.points.map((p) => ({
      ...p,
      curvatureMicron: null,
      curvatureErrorMicron: null,
    }));
    expect(ladderPage({ ...madeLadder, points, predictions: [] })).not.toContain('<svg');
  });

  it('lets nothing from outside become markup', () => {
    expect(ladderPage({ ...madeLadder, warnings: ['<img src=x onerror=alert(1)>'] })).not.toContain(
      '<img src=x',
    );
  });
});
