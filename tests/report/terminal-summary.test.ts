import stringWidth from 'string-width';
import { describe, expect, it } from 'vitest';
import { nightSummary } from '../../src/report/terminal-summary.js';
import { syntheticNight } from './synthetic-night.js';

const night = syntheticNight({ frames: 20, filters: ['L', 'Ha'] });

describe('nightSummary', () => {
  it.each([40, 80, 160])('fits a terminal of %i columns', (columns) => {
    for (const line of nightSummary(night, { columns, color: false }).split('\n')) {
      expect(stringWidth(line)).toBeLessThanOrEqual(columns);
    }
  });

  it('tells what was found with confidence, evidence and advice', () => {
    const text = nightSummary(night, { columns: null, color: false });
    for (const cause of night.night.causes.filter((one) => one.answer === 'found' && one.confidence >= 0.5)) {
      expect(text).toContain(cause.title);
      expect(text).toContain(`(${Math.round(100 * cause.confidence)} %)`);
      expect(text).toContain(cause.evidence[0]!.what);
      expect(text).toContain(`Do: ${cause.advice.split('\n')[0]!}`);
    }
    for (const group of night.groups)
      expect(text).toContain(`${group.name}: ${group.kept} of ${group.frames} kept`);
  });

  it('draws FWHM and background through the night on a terminal, and gives only their range when piped', () => {
    const shown = nightSummary(night, { columns: 80, color: false });
    expect(shown).toMatch(/FWHM arcsec +\S+ to \S+ +[▁▂▃▄▅▆▇█·]{20}\n/);
    expect(shown).toMatch(/background +\S+ to \S+ +[▁▂▃▄▅▆▇█·]{20}\n/);
    expect(nightSummary(night, { columns: null, color: false })).not.toMatch(/[▁▂▃▄▅▆▇█]/);
  });

  it('mentions weak suspicions in one line, and says so when nothing was found', () => {
    const weak = night.night.causes.map((cause) => ({ ...cause, confidence: 0.3 }));
    const text = nightSummary(
      { ...night, night: { ...night.night, causes: weak } },
      { columns: null, color: false },
    );
    expect(text).toContain('Not ruled out');
    expect(text).not.toContain('Do: ');
    const clear = night.night.causes.map((cause) => ({ ...cause, answer: 'clear' as const, confidence: 0 }));
    expect(
      nightSummary({ ...night, night: { ...night.night, causes: clear } }, { columns: null, color: false }),
    ).toContain('No fault');
    const untold = clear.map((cause, i) => (i === 0 ? { ...cause, answer: 'cannot-tell' as const } : cause));
    expect(
      nightSummary({ ...night, night: { ...night.night, causes: untold } }, { columns: null, color: false }),
    ).toContain(`1 cause could not be judged from these frames: ${untold[0].title}.`);
  });

  it('lets nothing from a file act on the terminal', () => {
    const hostile = syntheticNight({ frames: 8, text: '\u001b[2Jx\u009b1m\u202e' });
    expect(nightSummary(hostile, { columns: 80, color: false })).not.toMatch(/[^\P{Cc}\n]|\u202e/u);
  });

  it('manages a night without frames', () => {
    const none = syntheticNight({ frames: 0 });
    expect(() => nightSummary(none, { columns: 80, color: true })).not.toThrow();
  });
});
