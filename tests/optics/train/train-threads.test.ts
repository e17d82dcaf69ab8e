import { describe, expect, it } from 'vitest';
import {
  isOutsideCatalogue,
  jointEndText,
  jointStandards,
  judgeJoint,
  parseJointEnd,
  usualClearApertureMm,
} from '../../../src/optics/train/train-threads.js';

const end = (text: string) => parseJointEnd(text);

describe('names of joints', () => {
  it.each([
    ['M42x0.75 female', 'M42x0.75 female'],
    ['M42 × 0,75 inner', 'M42x0.75 female'],
    ['T thread male', 'M42x0.75 male'],
    ['t2 external', 'M42x0.75 male'],
    ['2-inch barrel', '2in-barrel'],
    ['1.25" barrel male', '1.25in-barrel male'],
    ['M48', 'M48x0.75'],
    ['M90x1 f', 'M90x1 female'],
  ])('%s is read as %s', (text, meaning) => {
    expect(jointEndText(end(text))).toBe(meaning);
  });

  it.each(['', 'female', 'thread of some kind', 'M42x', 'M43x9 male', 'M1000x1'])(
    '"%s" is not known',
    (text) => {
      expect(end(text)).toBeNull();
    },
  );

  it('a thread that no list has is understood and marked', () => {
    expect(isOutsideCatalogue(end('M43x0.75 male')!.standard)).toBe(true);
    expect(isOutsideCatalogue(end('M48x0.75 male')!.standard)).toBe(false);
  });

  it("a file's own joint wins over the catalogue", () => {
    const own = {
      name: 'M48x0.75',
      kind: 'thread',
      diameterMm: 48,
      pitchMm: 0.75,
      aliases: [],
      note: 'mine',
    } as const;
    expect(parseJointEnd('M48x0.75', [own])?.standard.note).toBe('mine');
  });

  it('every entry of the catalogue says where it comes from and is found by its own name and aliases', () => {
    for (const standard of jointStandards) {
      expect(standard.note.length).toBeGreaterThan(10);
      for (const name of [standard.name, ...standard.aliases]) expect(end(name)?.standard).toBe(standard);
    }
  });
});

describe('joints', () => {
  it('male into female of the same thread fits', () => {
    expect(judgeJoint(end('M48x0.75 male'), end('M48x0.75 female'))).toEqual({
      fits: 'yes',
      clamped: false,
      why: '',
    });
  });

  it('the old lens thread does not fit the T thread, and the words say why it is dangerous', () => {
    const verdict = judgeJoint(end('M42x1 male'), end('T female'));
    expect(verdict.fits).toBe('no');
    expect(verdict.why).toContain('do not force');
  });

  it('two males need a gender changer', () => {
    expect(judgeJoint(end('M48 male'), end('M48 male')).why).toContain('gender changer');
  });

  it('other diameters do not fit, barrels are clamped, and what is not given cannot be told', () => {
    expect(judgeJoint(end('M48 male'), end('T female')).fits).toBe('no');
    expect(judgeJoint(end('2" male'), end('2" female'))).toMatchObject({ fits: 'yes', clamped: true });
    expect(judgeJoint(null, end('T female')).fits).toBe('unknown');
    expect(jointEndText(null)).toBe('joint not given');
  });

  it('leave less room than their outer diameter', () => {
    for (const standard of jointStandards) {
      expect(usualClearApertureMm(standard)).toBeLessThan(standard.diameterMm - 2);
      expect(usualClearApertureMm(standard)).toBeGreaterThan(0.8 * standard.diameterMm);
    }
  });
});
