import { describe, expect, it } from 'vitest';
import stringWidth from 'string-width';
import { ladderText } from '../../../src/report/ladder/ladder-text.js';
import { madeLadder } from './made-ladder.js';

describe('a ladder as text', () => {
  const text = ladderText(madeLadder);

  it('lists the rungs with curvature and error, and the best spacing with its own', () => {
    expect(text).toContain('−70.5 ± 1.2 µm');
    expect(text).toContain('Best spacing: 55.21 ± 0.04 mm (medial curvature crosses zero)');
    expect(text).toContain('+59.0 ± 1.0 µm of corner curvature per mm');
  });

  it('says why a rung is no sweep, and when rungs scatter', () => {
    expect(text).toContain('55 mm: no sweep, too few positions');
    expect(text).toContain('scatter 3.2 times');
  });

  it('lets the scale have its word', () => {
    expect(text).toContain('DISAGREES: the scale does not go with every label');
    expect(text).toContain('the rung labelled 56 mm looks +0.30 mm off');
    expect(ladderText({ ...madeLadder, scale: null })).toContain('no witness');
  });

  it('says that nothing can be told', () => {
    expect(ladderText({ ...madeLadder, bestSpacingMm: null })).toContain('cannot be told');
  });
});

it('ladderText keeps to the width of the terminal, its table in one line a rung', () => {
  const lines = ladderText(madeLadder, 80).split('\n');
  expect(lines.filter((line) => /^ +5[456] mm .*(no )?sweep$/.test(line))).toHaveLength(3);
  expect(Math.max(...lines.map((line) => stringWidth(line)))).toBeLessThanOrEqual(80);
});
