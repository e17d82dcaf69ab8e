import { describe, expect, it } from 'vitest';
import { calmFrames, judge } from './judge.js';

describe('bright-sky', () => {
  it('fires', () => {
    const finding = judge('bright-sky', { frames: calmFrames(10, (k) => (k > 6 ? { level: 2000 } : {})) });
    expect(finding.answer).toBe('found');
    expect(finding.confidence).toBeGreaterThan(0.5);
    expect(finding.evidence.length).toBeGreaterThan(0);
    expect(finding.advice).not.toBe('');
    expect(finding.frames).toEqual(['frame-008.fits', 'frame-009.fits', 'frame-010.fits']);
  });

  it('stays quiet on a clean night', () => {
    expect(judge('bright-sky', { frames: calmFrames(10) }).confidence).toBeLessThan(0.5);
  });

  it('leaves cloud that is lit from below to the cloud', () => {
    const finding = judge('bright-sky', {
      frames: calmFrames(10, (k) => (k > 6 ? { level: 1100, transparency: 0.5 } : {})),
    });
    expect(finding.confidence).toBeLessThan(0.5);
  });

  it('leaves noise without light alone', () => {
    const finding = judge('bright-sky', { frames: calmFrames(10, (k) => (k > 6 ? { noise: 20 } : {})) });
    expect(finding.confidence).toBeLessThan(0.5);
  });

  it('says so when there is too little data', () => {
    const finding = judge('bright-sky', { frames: calmFrames(2), bare: true });
    expect(finding.answer).toBe('cannot-tell');
    expect(finding.why).not.toBe('');
  });

  it('knows twilight from place and time, and warns of the Sun by day', () => {
    const at = (hour: string) => ({ level: 5000, header: { dateObs: `2026-09-12T${hour}:00:00.000Z` } });
    // Sun 12 degrees below the horizon at about 18:45 UTC there; at noon it is day.
    expect(judge('bright-sky', { frames: calmFrames(10, (k) => (k > 7 ? at('18') : {})) }).advice).toContain(
      'Twilight',
    );
    expect(judge('bright-sky', { frames: calmFrames(10, (k) => (k > 7 ? at('11') : {})) }).advice).toContain(
      'Sun',
    );
  });

  it('says that the moon was up all night, where no frame is darker than the others', () => {
    const on = (date: string) =>
      judge('bright-sky', {
        frames: calmFrames(8, (k) => ({ header: { dateObs: `${date}T22:0${k}:00.000Z` } })),
      });
    // Full moon of 26 September 2026, new moon of 11 September (astronomical almanac).
    expect(on('2026-09-26')).toMatchObject({ answer: 'cannot-tell' });
    expect(on('2026-09-26').why).toMatch(/moon was up in every frame \((9\d|100) % lit/);
    expect(on('2026-09-11').answer).toBe('clear');
  });

  it('knows a single dark hour after the moon has set, though all other frames are moonlit', () => {
    // At 46.2 north, 11.4 east the moon of 22 September 2026, 85 % lit, sets at about 1 UTC.
    const frames = (bare: boolean) =>
      calmFrames(12, (k) => ({
        ...(k < 11 ? { level: 1500 } : {}),
        header: {
          dateObs:
            k < 11
              ? `2026-09-22T${19 + Math.floor(k / 3)}:${2 * (k % 3)}0:00.000Z`
              : '2026-09-23T02:30:00.000Z',
          // Without a place and an altitude the moon may be up at any hour.
          ...(bare ? { latitudeDeg: null, longitudeDeg: null, altitudeDeg: null, airmass: null } : {}),
        },
      }));
    for (const bare of [false, true]) {
      const finding = judge('bright-sky', { frames: frames(bare) });
      expect(finding.confidence).toBeGreaterThan(0.8);
      expect(finding.frames).toHaveLength(11);
    }
  });

  it('says of a night whose brightest frames stand out that the others were moonlit too', () => {
    const finding = judge('bright-sky', {
      frames: calmFrames(8, (k) => ({
        level: k > 5 ? 1600 : 1000,
        header: { dateObs: `2026-09-26T22:0${k}:00.000Z` },
      })),
    });
    expect(finding.answer).toBe('found');
    expect(finding.advice).toContain('The moon was up in every frame: the darkest of them is moonlit too');
  });

  it('names the frame of each piece of evidence, one for each source, and advises on those', () => {
    const { evidence, advice, frames } = judge('bright-sky', {
      frames: calmFrames(12, (k) =>
        k < 8
          ? {}
          : k < 10
            ? { level: 3000, header: { dateObs: `2026-09-12T18:3${k - 8}:00.000Z` } }
            : { level: 2000 },
      ),
    });
    const factors = evidence.filter((e) => e.unit === 'times');
    expect(factors).toHaveLength(2);
    for (const { what } of factors) {
      const file = /\((frame-\d+\.fits)\)$/.exec(what)![1];
      expect(frames).toContain(file);
      expect(advice).toContain(file);
    }
    expect(evidence.every((e) => /\(frame-\d+\.fits\)$/.test(e.what))).toBe(true);
  });

  it('reports no rise below the limit it gives', () => {
    // The moon of 26 September 2026 is full: a rise by a fifth to a quarter is worth a word under it, not in a dark night.
    const night = (day: string) =>
      judge('bright-sky', {
        frames: calmFrames(10, (k) => ({
          level: k > 6 ? 1010 : 800,
          header: { dateObs: `2026-09-${day}T22:0${k}:00.000Z` },
        })),
      });
    const moonlit = night('26');
    expect(moonlit.confidence).toBeGreaterThan(0.5);
    const rise = moonlit.evidence.find((e) => e.unit === 'times')!;
    expect(rise.what).toContain('with the moon up');
    expect(rise.value).toBeGreaterThan(rise.limit!);
    expect(night('12').confidence).toBeLessThan(0.5);
  });
});
