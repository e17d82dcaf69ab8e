import { describe, expect, it } from 'vitest';
import { cornersReport } from '../../../src/report/corners/corners-report.js';
import { cornersText } from '../../../src/report/corners/corners-text.js';
import { syntheticNight } from '../synthetic-night.js';

const plain = { columns: 90, color: false };

describe('cornersText', () => {
  it('shows the corners in their places, the pattern in words, and what to do', () => {
    const night = syntheticNight({ frames: 1 });
    const text = cornersText(cornersReport(night), plain);
    const lines = text.split('\n');
    const top = lines.findIndex((line) => line.includes('top-left'));
    expect(lines[top]).toMatch(/top-left: [\d.]+″, 1\.12 at 45° +top-right/);
    expect(lines[top + 1]).toMatch(/bottom-left.*bottom-right/);
    expect(text.replace(/\s+/g, ' ')).toContain('Stars grow softer towards the bottom left (212°): 9.4 ±');
    expect(text).toContain('The sensor is tilted: likely (78 %)');
    expect(text).toContain('38 ± 4 µm');
  });

  it('keeps to the width, and leaves no colour where there is none', () => {
    const text = cornersText(cornersReport(syntheticNight({ frames: 3, filters: ['R', 'B', 'L'] })), plain);
    for (const line of text.split('\n')) expect([...line].length).toBeLessThanOrEqual(90);
    expect(text).not.toContain('\u001b');
  });

  it('says which corner has too few stars, and why a cause is not told', () => {
    const night = syntheticNight({ frames: 1 });
    const frame = night.frames[0]!;
    const corners = frame.field.corners.map((corner) => ({ ...corner, fwhm: null }));
    const causes = night.night.causes.map((cause) => ({
      ...cause,
      code: 'spacing-short' as const,
      answer: 'cannot-tell' as const,
      why: 'one focus only',
    }));
    const value = {
      ...night,
      frames: [{ ...frame, field: { ...frame.field, corners } }],
      night: { ...night.night, causes },
    };
    const text = cornersText(cornersReport(value), plain);
    expect(text).toContain('top-left: too few stars');
    expect(text).toContain('cannot tell (one focus only)');
  });

  it('lets nothing from a file act on the terminal', () => {
    const text = cornersText(
      cornersReport(syntheticNight({ frames: 2, text: '\u001b[2J\u009b31m\u202e\u0007x' })),
      plain,
    );
    expect(text).not.toMatch(/(?!\n)\p{Cc}|\u202e/u);
  });
});
