import { describe, expect, it } from 'vitest';
import { comparisonSentence } from '../../src/rig/comparison-sentence.js';
import { metricOf } from '../../src/rig/metrics.js';
import type { MetricCode, MetricComparison, RigNote } from '../../src/rig/types.js';

const sentence = (code: MetricCode, change: Partial<MetricComparison>, note: RigNote | null = null) => {
  const metric = metricOf(code);
  const { title, unit, decimals, subject } = metric;
  const whole = {
    metric: code,
    title,
    unit,
    decimals,
    subject,
    before: { nights: 20, median: 38, since: null },
    after: { nights: 15, median: 9, until: null },
    p: 1e-4,
    shift: -29,
    low: -33,
    high: -25,
    elsewhere: null,
    within: [],
    drifted: { before: 0, after: 0 },
    verdict: 'better' as const,
    moreNights: null,
    ...change,
  };
  return comparisonSentence(metric, whole, note);
};

describe('a comparison in words', () => {
  it('fell and rose', () => {
    expect(sentence('tilt', {})).toBe('Sensor tilt fell from 38.0 to 9.0 µm (95 %: 25.0 to 33.0 µm less).');
    expect(sentence('tilt', { shift: 4, low: 2, high: 6, verdict: 'worse' })).toContain(
      '(95 %: 2.0 to 6.0 µm more)',
    );
    expect(
      sentence('curvature', {
        before: { nights: 9, median: -40, since: null },
        after: { nights: 9, median: 4, until: null },
        shift: 44,
        low: 40,
        high: 48,
      }),
    ).toBe('Field curvature moved from −40.0 to 4.0 µm (95 %: by +40.0 to +48.0 µm).');
  });

  it('says which nights count when the figure changed at other times too', () => {
    const before = { nights: 20, median: 38, since: '2026-01-11' };
    expect(sentence('tilt', { before })).toMatch(
      /less\)\. Of the nights before it only those from 2026-01-11 on count, as it changed then too\.$/,
    );
    const after = { nights: 15, median: 9, until: '2026-03-01' };
    expect(sentence('tilt', { before, after })).toContain(
      'on, and after it only those before 2026-03-01 count',
    );
  });

  it('a slow drift, and what the sky does, are laid to no note', () => {
    const note: RigNote = {
      id: 'n',
      number: 1,
      date: '2026-03-03',
      text: 'spacer',
      spacingMm: 0.5,
      kind: 'logged',
    };
    const drift = { date: null, drift: { from: '2026-03-23', to: '2026-06-24' } };
    expect(sentence('tracking', { verdict: 'changed', elsewhere: drift }, note)).toMatch(
      /less\), but slowly, in a drift from 2026-03-23 to 2026-06-24, not at once\.$/,
    );
    expect(sentence('seeing-zenith', { verdict: 'changed' }, note)).toMatch(
      /less\): the sky’s doing, not the rig’s\.$/,
    );
    expect(sentence('fwhm-zenith', { verdict: 'changed' }, note)).toMatch(
      /after "spacer" \(2026-03-03\); the sky sways it too\.$/,
    );
    expect(sentence('tracking', { drifted: { before: 0.2, after: 0 } }, note)).toContain(
      'from 38.00, where a slow drift had led it, to 9.00 ″',
    );
    expect(sentence('tilt', { within: ['2026-01-11'] })).toMatch(
      / Within the ranges it changed too: 2026-01-11\.$/,
    );
  });

  it('a tight interval about zero is no change', () => {
    expect(sentence('tilt', { verdict: 'unchanged', low: -0.5, high: 0.03 })).toBe(
      'Sensor tilt: no change to speak of (the shift lies between −0.5 and 0.0 µm).',
    );
  });

  it('cannot tell: how many more nights, none that would do, or too many', () => {
    const unsure = { verdict: 'cannot-tell' as const, low: -8, high: 2 };
    expect(sentence('tilt', { ...unsure, moreNights: 1 })).toContain(
      'the shift lies between −8.0 and +2.0 µm). If the difference is as seen, about 1 more night would',
    );
    expect(sentence('tilt', { ...unsure, moreNights: 5000 })).toContain('over 300 further nights');
    expect(sentence('tilt', { ...unsure, moreNights: null })).toContain(
      'With 20 nights before, a difference of the size seen would not show',
    );
    expect(sentence('tilt', { ...unsure, low: null, high: null, moreNights: 4 })).toContain(
      'too few nights for an interval',
    );
  });
});
