import { describe, expect, it } from 'vitest';
import { blurBudget, blurParts, blurTextures, stack } from '../../../src/report/panels/blur-budget.js';
import { viewNight } from '../../../src/report/view.js';
import { elements, leftReader } from '../read-svg.js';
import { syntheticNight } from '../synthetic-night.js';

const made = syntheticNight({ frames: 20 });
/** Widths as the parts add up to; a frame may be given another one. */
const night = {
  ...made,
  frames: made.frames.map((frame) => {
    const sum = blurParts.reduce((all, part) => all + (frame.blur![part] ?? 0) ** 2, 0);
    return { ...frame, fwhm: { ...frame.fwhm, arcsec: Math.sqrt(sum) } };
  }),
};
const blur = {
  unit: 'px',
  seeing: 3,
  focus: 4,
  tilt: null,
  curvature: 0,
  coma: null,
  tracking: null,
} as const;

describe('blur budget', () => {
  it('stacks shares of the square to the root of the sum of squares', () => {
    const { total, parts } = stack(blur, null);
    expect(total).toBeCloseTo(5, 12);
    expect(parts.map(({ part, height }) => [part, height])).toEqual([
      ['seeing', (5 * 9) / 25],
      ['focus', (5 * 16) / 25],
    ]);
  });

  it('fills up to the width of the stars with what is not told apart, over 5 per cent of it', () => {
    const { total, parts } = stack(blur, 10);
    expect(total).toBeCloseTo(10, 12);
    expect(parts.at(-1)).toMatchObject({ part: 'rest', height: (100 - 25) / 10 });
    expect(parts.reduce((sum, { height }) => sum + height, 0)).toBeCloseTo(10, 12);
    for (const fwhm of [5 / 0.951, 5, 4])
      expect(stack(blur, fwhm).parts.map(({ part }) => part)).toEqual(['seeing', 'focus']);

    const [first, ...others] = night.frames;
    const wide = { ...first!, fwhm: { ...first!.fwhm, arcsec: 9 } };
    const { text } = blurBudget.draw(
      viewNight({ ...night, frames: [wide, ...others] }, { pictures: false }),
    )!;
    expect(text.split(/<g class="m"/)[1]).toContain('data-part="rest"');
    expect(text.match(/data-part="rest"/g)).toHaveLength(2);
    expect(text.match(/not told apart/g)!.length).toBeGreaterThanOrEqual(3);
    expect(text).toContain('Refocusing, and looking whether it goes, tells.');
    expect(blurBudget.draw(viewNight(night, { pictures: false }))!.text).not.toContain('blurrest');
  });

  it('draws bars that read back as the parts of the record', () => {
    const { text } = blurBudget.draw(viewNight(night, { pictures: false }))!;
    const wide = text.slice(text.indexOf('scroller wide'), text.indexOf('scroller narrow'));
    const read = leftReader(wide);
    const bars = wide.split(/<g class="m"/).slice(1);
    expect(bars).toHaveLength(20);
    bars.forEach((bar, i) => {
      const blur = night.frames[i]!.blur!;
      const parts = elements(bar, 'rect').filter((rect) => rect['data-part']);
      const heightOf = (rect: Record<string, string>) =>
        read(Number(rect.y)) - read(Number(rect.y) + Number(rect.height));
      const total = parts.reduce((sum, rect) => sum + heightOf(rect), 0);
      const squares = blurParts.reduce((sum, part) => sum + (blur[part] ?? 0) ** 2, 0);
      // Six heights written to 0.01 units of 190 each.
      expect(total).toBeCloseTo(Math.sqrt(squares), 2);
      for (const rect of parts) {
        const part = blur[rect['data-part'] as (typeof blurParts)[number]]!;
        expect(heightOf(rect)).toBeCloseTo(part ** 2 / Math.sqrt(squares), 2);
      }
    });
  });

  it('draws seeing and focus as one part where they cannot be told apart', () => {
    const frames = night.frames.map((frame, i) =>
      i === 0 ? { ...frame, blur: { ...frame.blur!, seeing: null, focus: null, seeingOrFocus: 3 } } : frame,
    );
    const { text } = blurBudget.draw(viewNight({ ...night, frames }, { pictures: false }))!;
    const first = text.split(/<g class="m"/)[1]!;
    expect(first).toContain('data-part="seeingOrFocus"');
    expect(first).not.toContain('data-part="seeing"');
    expect(text).toContain('seeing or focus');
  });

  it('tells parts apart by texture as well as by colour', () => {
    expect(blurTextures().text.match(/<pattern/g)).toHaveLength(5);
  });

  it('is not drawn without a budget, and counts the subs that have none', () => {
    const frames = night.frames.map((frame, i) => (i < 3 ? { ...frame, blur: null } : frame));
    expect(blurBudget.draw(viewNight({ ...night, frames }, { pictures: false }))!.text).toContain(
      '3 subs without a budget',
    );
    const none = night.frames.map((frame) => ({ ...frame, blur: null }));
    expect(blurBudget.draw(viewNight({ ...night, frames: none }, { pictures: false }))).toBeNull();
  });

  it('brings budgets of another unit to the unit of the page, and leaves out those it cannot bring', () => {
    const [first, second, third] = night.frames;
    const inPx = { ...first!, blur: { ...first!.blur!, unit: 'px' as const, seeing: 2 } };
    const unscaled = { ...second!, scale: null, blur: { ...second!.blur!, unit: 'px' as const } };
    const { text } = blurBudget.draw(
      viewNight({ ...night, frames: [inPx, unscaled, third!] }, { pictures: false }),
    )!;
    expect(text).toMatch(new RegExp(`${first!.file}</th>\\s*<td>2.92</td>`));
    expect(text).toContain('1 sub without a budget');
  });
});
