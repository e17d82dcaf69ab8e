import { describe, expect, it } from 'vitest';
import { framesTable } from '../../../src/report/panels/frames-table.js';
import { viewNight } from '../../../src/report/view.js';
import { syntheticNight } from '../synthetic-night.js';

const night = syntheticNight({ frames: 12 });
const draw = (value = night) => framesTable.draw(viewNight(value, { pictures: false }))!.text;

describe('table of frames', () => {
  it('has a row a frame with figures equal to the record, as text and for sorting', () => {
    const rows = draw().split('<tr').slice(2);
    expect(rows).toHaveLength(12);
    rows.forEach((row, i) => {
      const frame = night.frames[i]!;
      expect(row).toContain(`data-decision="${frame.decision}"`);
      expect(row).toContain(`data-by="${frame.fwhm.arcsec}"`);
      expect(row).toContain(`>${frame.fwhm.arcsec!.toFixed(2)}<`);
      expect(row).toContain(`data-by="${frame.elongation}"`);
    });
  });

  it('gives each rejected frame its reasons', () => {
    const rejected = night.frames.find((frame) => frame.decision === 'reject')!;
    for (const reason of rejected.reasons) expect(draw()).toContain(reason.message);
  });

  it('shows a dash without a sorting figure for what was not measured, and drops a column that is empty', () => {
    const frames = night.frames.map((frame, i) => ({
      ...frame,
      transparency: i === 0 ? null : frame.transparency,
      header: { ...frame.header, focuserPosition: null },
    }));
    const text = draw({ ...night, frames });
    expect(text).toMatch(/<td class="n"\s*>–<\/td>/);
    expect(text).not.toContain('data-column="focus"');
  });

  it('offers a choice of group only when there are several', () => {
    expect(draw()).not.toContain('by-group');
    expect(draw(syntheticNight({ frames: 4, filters: ['R', 'B'] }))).toContain('by-group');
  });

  it('names a cause that every sub shares once, not in each row', () => {
    const cause = night.night.causes[0]!;
    const frames = night.frames.map((frame) => ({
      ...frame,
      causes: [{ code: cause.code, confidence: 0.9 }],
    }));
    const text = draw({ ...night, frames });
    expect(text.split(cause.title)).toHaveLength(2);
    const some = draw({
      ...night,
      frames: frames.map((frame, i) => (i < 3 ? { ...frame, causes: [] } : frame)),
    });
    expect(some.split(cause.title)).toHaveLength(10);
  });

  it('has nothing to draw without frames', () => {
    expect(framesTable.draw(viewNight({ ...night, frames: [] }, { pictures: false }))).toBeNull();
  });
});
