import { describe, expect, it } from 'vitest';
import {
  paletteProperties,
  palettes,
  resolveColours,
  type Palette,
  type PaletteName,
} from '../../src/report/palette.js';

/** Relative luminance and contrast ratio, WCAG 2.2, definitions in section 6 (glossary). */
function luminance(colour: string): number {
  const [r, g, b] = [1, 3, 5].map((at) => {
    const value = parseInt(colour.slice(at, at + 2), 16) / 255;
    return value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r! + 0.7152 * g! + 0.0722 * b!;
}

function contrast(a: string, b: string): number {
  const [high, low] = [luminance(a), luminance(b)].sort((x, y) => y - x);
  return (high! + 0.05) / (low! + 0.05);
}

describe.each(Object.entries(palettes) as [PaletteName, Palette][])('palette %s', (name, palette) => {
  it('gives text 4.5:1 on both grounds (WCAG 2.2, 1.4.3)', () => {
    for (const role of ['ink', 'soft', 'accent', 'alert'] as const) {
      for (const ground of [palette.paper, palette.raised]) {
        expect(contrast(palette[role], ground), `${role} on ${ground}`).toBeGreaterThanOrEqual(4.5);
      }
    }
  });

  it('gives marks 3:1 on the panel (WCAG 2.2, 1.4.11), and sticks on every contour step', () => {
    for (const mark of palette.groups) expect(contrast(mark, palette.raised)).toBeGreaterThanOrEqual(3);
    for (const step of palette.contours) expect(contrast(palette.stick, step)).toBeGreaterThanOrEqual(3);
  });

  it('tells contour steps apart by lightness alone, in one direction', () => {
    const steps = palette.contours.map(luminance);
    const sign = Math.sign(steps[6]! - steps[0]!);
    for (let i = 1; i < steps.length; i++) expect((steps[i]! - steps[i - 1]!) * sign).toBeGreaterThan(0);
  });

  it('has no light but red at night', () => {
    if (name !== 'night') return expect(palette.ink).not.toMatch(/0000$/);
    for (const colour of Object.values(palette).flat()) expect(colour).toMatch(/^#[0-9a-f]{2}0000$/);
  });
});

describe('palette as CSS', () => {
  it('names every colour, and resolves what it names', () => {
    expect(paletteProperties(palettes.light)).toContain('--groups5:#6d5a1c;');
    expect(resolveColours('fill:var(--ink);x:var(--unknown)', palettes.night)).toBe(
      'fill:#ff0000;x:var(--unknown)',
    );
  });
});
