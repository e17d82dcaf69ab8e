import { describe, expect, it } from 'vitest';
import {
  reasonTitles,
  reasonWords,
  sizeIn,
  tellingReasons,
  tellingWords,
  unitSign,
  viewNight,
} from '../../src/report/view.js';
import { syntheticNight } from './synthetic-night.js';

describe('viewNight', () => {
  it('puts frames in the order of time, those without one last', () => {
    const night = syntheticNight({ frames: 4 });
    const [a, b, c, d] = night.frames;
    const timeless = { ...a!, header: { ...a!.header, dateObs: null } };
    const view = viewNight({ ...night, frames: [timeless, d!, c!, b!] }, { pictures: false });
    expect(view.frames.map(({ frame }) => frame.file)).toEqual(
      [b!, c!, d!, timeless].map((frame) => frame.file),
    );
    expect(view.frames.map(({ index }) => index)).toEqual([0, 1, 2, 3]);
    expect(view.frames[3]!.timeMs).toBeNull();
  });

  it('speaks of pixels as soon as one measured frame has no plate scale', () => {
    const night = syntheticNight({ frames: 2 });
    expect(viewNight(night, { pictures: false }).unit).toBe('arcsec');
    const [first, second] = night.frames;
    const unscaled = { ...second!, fwhm: { ...second!.fwhm, arcsec: null } };
    expect(viewNight({ ...night, frames: [first!, unscaled] }, { pictures: false }).unit).toBe('px');
    const unmeasured = { ...second!, fwhm: { px: null, arcsec: null, standardError: null } };
    expect(viewNight({ ...night, frames: [first!, unmeasured] }, { pictures: false }).unit).toBe('arcsec');
  });

  it('knows every group, also one that the summary lacks', () => {
    const night = syntheticNight({ frames: 4, filters: ['R', 'B'] });
    const view = viewNight({ ...night, groups: night.groups.slice(1) }, { pictures: false });
    expect(view.groupNames).toHaveLength(2);
    expect(view.frames.every(({ group }) => group >= 0)).toBe(true);
  });
});

describe('sizes and reasons', () => {
  it('gives a size in the unit of the page', () => {
    expect(sizeIn('px', { px: 2, arcsec: 3 })).toBe(2);
    expect(sizeIn('arcsec', { px: 2, arcsec: 3 })).toBe(3);
    expect([unitSign('px'), unitSign('arcsec')]).toEqual([' px', '″']);
  });

  it('shows the signs that people read', () => {
    const message = 'FWHM 3.87" is over 1.25 x the group\'s 3.06" (limit 3.82")';
    const reason = { code: 'fwhm' as const, message, value: 3.87, limit: 3.82 };
    expect(reasonWords(reason)).toBe("FWHM 3.87″ is over 1.25 × the group's 3.06″ (limit 3.82″)");
  });

  it('tells of a kept sub only what a person overruled, of one rejected by a person not what it came nearest to', () => {
    const soft = { code: 'fwhm', message: 'FWHM 3" is over 2"', value: 3, limit: 2 } as const;
    const own = { code: 'overruled', message: 'by your own decision', value: null, limit: null } as const;
    const told = (decision: 'keep' | 'reject', ...reasons: (typeof soft | typeof own)[]) => [
      tellingReasons({ decision, reasons }).map(({ code }) => code),
      tellingWords({ decision, reasons }),
    ];
    expect(told('keep', soft)).toEqual([[], []]);
    expect(told('reject', soft)).toEqual([['fwhm'], ['FWHM 3″ is over 2″']]);
    expect(told('keep', own, soft)).toEqual([
      ['overruled', 'fwhm'],
      ['kept by you, against: FWHM 3″ is over 2″'],
    ]);
    expect(told('keep', own)).toEqual([['overruled'], ['kept by you']]);
    expect(told('reject', own, soft)).toEqual([['overruled'], ['rejected by you']]);
  });

  it('has words for every reason', () => {
    expect(Object.values(reasonTitles).every((title) => title.length > 3)).toBe(true);
  });
});
