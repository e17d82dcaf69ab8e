import { describe, expect, it } from 'vitest';
import { verdict } from '../../../src/report/panels/verdict.js';
import { viewNight } from '../../../src/report/view.js';
import { elements } from '../read-svg.js';
import { syntheticNight } from '../synthetic-night.js';

const night = syntheticNight({ frames: 40 });
const draw = (value = night) => verdict.draw(viewNight(value, { pictures: false }))!.text;

describe('verdict', () => {
  it('says how many to keep, how much light that is, and why the others go', () => {
    const { kept, rejected } = night.night.summary;
    expect(draw()).toContain(`Keep ${kept} of 40 subs`);
    expect(
      draw()
        .replace(/<[^>]*>/g, '')
        .replace(/\n/g, ' '),
    ).toContain(`Rejected: ${rejected}`);
    expect(draw()).toMatch(/<b>3<\/b> cloud or haze/);
  });

  it('counts every rejected sub once, under its first reason, as the summary in words does', () => {
    const night = syntheticNight({ frames: 40 });
    const twofold = night.frames.map((frame) =>
      frame.decision === 'keep'
        ? frame
        : {
            ...frame,
            reasons: (['fwhm', 'elongation'] as const).map((code) => ({
              code,
              message: '',
              value: 3,
              limit: 2,
            })),
          },
    );
    const rejected = twofold.filter((frame) => frame.decision === 'reject').length;
    const text = verdict
      .draw(viewNight({ ...night, frames: twofold }, { pictures: false }))!
      .text.replace(/\s+/g, ' ');
    const counts = [...text.matchAll(/<li><b>(\d+)<\/b>/g)].map((match) => Number(match[1]));
    expect(rejected).toBeGreaterThan(0);
    expect(counts).toEqual([rejected]);
  });

  it('draws one stroke a sub, rejected ones below the line', () => {
    const strokes = elements(draw(), 'rect').filter((rect) => rect['data-f'] !== undefined);
    expect(strokes).toHaveLength(40);
    const rejected = strokes.filter((rect) => Number(rect.y) > 30).map((rect) => Number(rect['data-f']));
    expect(rejected).toEqual(night.frames.flatMap((frame, i) => (frame.decision === 'reject' ? [i] : [])));
  });

  it('gives the median width of what is kept', () => {
    expect(draw()).toContain('Median star width of the kept subs: 3.37″ (2.31 px).');
  });

  it('says so when nothing could be measured', () => {
    const summary = { ...night.night.summary, frames: 0, kept: 0, rejected: 0, exposureSecondsKept: 0 };
    expect(draw({ ...night, frames: [], night: { ...night.night, summary } })).toContain(
      'No sub could be measured.',
    );
  });
});
