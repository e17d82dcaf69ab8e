import { describe, expect, it } from 'vitest';
import type { HistoryVerdict, NightAssessment } from '../../../src/causes/types.js';
import { history } from '../../../src/report/panels/history.js';
import { nightJson } from '../../../src/report/night-json.js';
import { nightSummary } from '../../../src/report/terminal-summary.js';
import { viewNight } from '../../../src/report/view.js';
import { syntheticNight } from '../synthetic-night.js';

const verdict: HistoryVerdict = {
  rig: 'garden <b>refractor</b>\u001b[31m',
  nights: 20,
  unusual: [
    {
      metric: 'fwhm-zenith',
      value: 5.5,
      error: 0.1,
      unit: '″',
      normalLow: 2,
      normalHigh: 3.1,
      nights: 20,
      sentence: 'FWHM at the zenith of the whole night is 5.50 ″; normal is 2.00 to 3.10 ″.',
    },
  ],
  spacing: { addMm: 0.5, errorMm: 0.1, sentence: 'Add 0.50 ± 0.10 mm.' },
};
const withHistory = (value: HistoryVerdict): NightAssessment => {
  const night = syntheticNight({ frames: 4 });
  return { ...night, night: { ...night.night, history: value } };
};
const page = (night: NightAssessment) => history.draw(viewNight(night, { pictures: false }))?.text ?? null;
const plain = { columns: null, color: false };

describe('the night against the rig’s earlier nights', () => {
  it('page, terminal and JSON say the same', () => {
    const night = withHistory(verdict);
    for (const text of [page(night)!, nightSummary(night, plain)]) {
      expect(text).toContain('20 earlier nights');
      expect(text).toContain(verdict.unusual[0].sentence);
      expect(text).toContain('Add 0.50 ± 0.10 mm.');
      expect(text).not.toContain('\u001b');
    }
    expect(page(night)).not.toContain('<b>refractor');
    expect((nightJson(night).night as { history: unknown }).history).toMatchObject({
      nights: 20,
      unusual: [{ metric: 'fwhm-zenith', value: 5.5, normalHigh: 3.1 }],
    });
  });

  it('a usual night, and one with too few to compare with', () => {
    const usual = withHistory({ ...verdict, unusual: [], spacing: null });
    expect(page(usual)).toContain('Nothing out of the ordinary');
    expect(nightSummary(usual, plain)).toContain('Nothing out of the ordinary');
    const young = withHistory({ rig: 'r', nights: 0, unusual: [], spacing: null });
    expect(page(young)).toContain('Too few earlier nights');
    expect(nightSummary(young, plain)).not.toContain('out of the ordinary');
  });

  it('without a history nothing is said', () => {
    const night = syntheticNight({ frames: 4 });
    expect(page(night)).toBeNull();
    expect(nightJson(night).night).not.toHaveProperty('history');
  });
});
