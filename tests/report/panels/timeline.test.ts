import { describe, expect, it } from 'vitest';
import type { NightAssessment } from '../../../src/causes/types.js';
import { nightFigures } from '../../../src/report/panels/night-figures.js';
import { timeline } from '../../../src/report/panels/timeline.js';
import { viewNight } from '../../../src/report/view.js';
import { elements, group, leftReader, markPlaces } from '../read-svg.js';
import { syntheticNight } from '../synthetic-night.js';

const draw = (night: NightAssessment) => {
  const view = viewNight(night, { pictures: false });
  const { text } = timeline.draw(view)!;
  return {
    view,
    text,
    wide: text.slice(0, text.indexOf('scroller narrow')),
    narrow: text.slice(text.indexOf('scroller narrow')),
  };
};

describe('timeline', () => {
  it('keeps marks whole at both ends, however the few subs of a night lie', () => {
    const night = syntheticNight({ frames: 3 });
    for (const seconds of [
      [0, 0, 0],
      [0, 1, 1500],
      [0, 1400, 1401],
      [0, 1, 40_000],
    ]) {
      const frames = night.frames.map((frame, i) => ({
        ...frame,
        header: {
          ...frame.header,
          dateObs: new Date(Date.UTC(2026, 0, 1) + seconds[i]! * 1000).toISOString(),
        },
      }));
      const { wide } = draw({ ...night, frames });
      const places = [...markPlaces(group(wide, 'data-row="fwhm"')).values()].map(({ x }) => x);
      // Half of a struck-through mark is 6.8 wide; the area reaches from 52 to 1072.
      expect(Math.min(...places)).toBeGreaterThanOrEqual(52 + 6.8);
      expect(Math.max(...places)).toBeLessThanOrEqual(1072 - 6.8);
    }
  });

  it('draws figures that read back as the figures of the record, in both widths', () => {
    const { view, wide, narrow } = draw(syntheticNight({ frames: 40, filters: ['R', 'G', 'B'] }));
    for (const svg of [wide, narrow]) {
      for (const figure of nightFigures) {
        const row = group(svg, `data-row="${figure.id}"`);
        const read = leftReader(row);
        const places = markPlaces(row);
        const values = view.frames.map((frame) => figure.of(frame, view)!);
        const range = Math.max(...values) - Math.min(...values);
        expect(places.size).toBe(40);
        view.frames.forEach((frame, i) => {
          // Places are written to 0.01 units of 96, and axis labels round to their own last digit.
          expect(Math.abs(read(places.get(i)!.y) - values[i]!)).toBeLessThan(0.004 * range + 1e-9);
          expect(places.get(i)!.kept).toBe(frame.kept);
        });
      }
    }
  });

  it('draws the limit at its figure', () => {
    const row = group(draw(syntheticNight({ frames: 12 })).wide, 'data-row="elongation"');
    const limit = elements(row, 'line').find((line) => line.class === 'limit')!;
    expect(leftReader(row)(Number(limit.y1))).toBeCloseTo(1.35, 2);
  });

  it('marks pauses and the meridian flip', () => {
    const { wide, text } = draw(syntheticNight({ frames: 40 }));
    const row = group(wide, 'data-row="fwhm"');
    const flips = elements(row, 'line').filter((line) => line.class === 'flip');
    const gaps = elements(row, 'rect').filter((rect) => rect.class === 'gap');
    expect([flips.length, gaps.length]).toEqual([1, 1]);
    const places = markPlaces(row);
    expect(Number(flips[0]!.x1)).toBeGreaterThan(places.get(15)!.x);
    expect(Number(flips[0]!.x1)).toBeLessThan(places.get(16)!.x);
    expect(text).toContain('meridian flip (1)');
  });

  it('tells a flip by the turn of the stars when no header gives the side', () => {
    const night = syntheticNight({ frames: 10 });
    const frames = night.frames.map((frame) => ({ ...frame, header: { ...frame.header, pierSide: null } }));
    expect(draw({ ...night, frames }).text).toContain('meridian flip (1)');
  });

  it('leaves out a row that no file fills and says so; a missing figure leaves no mark', () => {
    const night = syntheticNight({ frames: 6 });
    const frames = night.frames.map((frame, i) => ({
      ...frame,
      elongation: i === 2 ? null : frame.elongation,
      header: { ...frame.header, focuserPosition: null },
    }));
    const { text, wide } = draw({ ...night, frames });
    expect(text).toContain('Not known: focuser position');
    expect(markPlaces(group(wide, 'data-row="elongation"')).has(2)).toBe(false);
  });

  it('keeps one wild value from flattening the rest, and marks it as beyond the scale', () => {
    const night = syntheticNight({ frames: 20 });
    const wild = { ...night.frames[4]!, fwhm: { px: 200, arcsec: 300, standardError: 1 } };
    const row = group(draw({ ...night, frames: night.frames.with(4, wild) }).wide, 'data-row="fwhm"');
    const read = leftReader(row);
    expect(read(markPlaces(row).get(0)!.y)).toBeCloseTo(night.frames[0]!.fwhm.arcsec!, 2);
    expect(row.match(/class="here"/g)).toHaveLength(1);
  });

  it('draws one frame, and frames without times', () => {
    expect(draw(syntheticNight({ frames: 1 })).text).not.toContain('NaN');
    expect(draw(syntheticNight({ frames: 5, withTimes: false })).text).toContain('stand by number');
  });

  it('holds the same figures in its table', () => {
    const night = syntheticNight({ frames: 9 });
    const values = night.frames.map((frame) => frame.elongation!).sort((a, b) => a - b);
    expect(draw(night).text).toMatch(
      new RegExp(
        `Elongation</th>\\s*<td>[^<]*</td>\\s*<td>${values[0]!.toFixed(2)}</td>\\s*<td>${values[4]!.toFixed(2)}</td>\\s*<td>${values[8]!.toFixed(2)}</td>\\s*<td>1.35</td>`,
      ),
    );
  });

  it('has nothing to draw for a night without frames', () => {
    const night = syntheticNight({ frames: 1 });
    expect(timeline.draw(viewNight({ ...night, frames: [] }, { pictures: false }))).toBeNull();
  });
});
