import { expect, it } from 'vitest';
import { palettes, resolveColours } from '../../../src/report/palette.js';
import { plotStyle } from '../../../src/report/plot/plot-style.js';

it('names only colours that every palette has', () => {
  for (const palette of Object.values(palettes))
    expect(resolveColours(plotStyle, palette)).not.toContain('var(');
});
