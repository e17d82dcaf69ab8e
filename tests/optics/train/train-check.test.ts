import { describe, expect, it } from 'vitest';
import { checkTrain } from '../../../src/optics/train/train-check.js';
import { madeTrain } from './train-fixture.js';

const codes = (...changes: readonly (readonly [string, string])[]) =>
  checkTrain(madeTrain(...changes)).map((w) => w.code);
const drawTube = (extended: number) =>
  `parts:\n  - {name: focuser tube, kind: draw-tube, lengthMm: 0, extendedMm: ${extended}, travelMm: 80, front: M48 female, rear: M48 male}`;
const barrels = (mass: number): readonly [string, string][] => [
  ['rear: M42x0.75 male', `rear: 2" male, massGram: 300`],
  ['front: T thread female', `front: 2" female, massGram: ${mass}`],
];

describe('a look over a train', () => {
  it('finds nothing but the length in a sound one', () => {
    expect(codes()).toEqual(['spacing']);
  });

  it('notes a thread that no list has', () => {
    const strange = checkTrain(madeTrain(['front: T thread female', 'front: M43x0.75 female']));
    expect(strange.map((w) => w.message).join()).toContain('M43x0.75 is not in the list of threads');
  });

  it('warns of a draw tube far out, not of one that is mostly in', () => {
    expect(codes(['parts:', drawTube(60)])).toContain('draw-tube-far-out');
    expect(codes(['parts:', drawTube(20)])).not.toContain('draw-tube-far-out');
  });

  it('warns of a heavy load on a clamp, not of a light one', () => {
    expect(codes(...barrels(4000))).toContain('load-on-clamp');
    expect(codes(...barrels(300))).not.toContain('load-on-clamp');
  });

  it('says that a load was not judged when the camera has no mass', () => {
    const warnings = checkTrain(
      madeTrain(['rear: M42x0.75 male', 'rear: 2" male'], ['front: T thread female', 'front: 2" female']),
    );
    expect(warnings.find((w) => w.code === 'not-checked')?.message).toContain('massGram');
  });

  it('warns of clamped joints in a row', () => {
    const two: readonly [string, string][] = [
      ...barrels(300),
      ['rear: M48x0.75 male}\n  - {name: drawer', 'rear: 2" male}\n  - {name: drawer'],
      ['lengthMm: 17, front: M48x0.75 female', 'lengthMm: 17, front: 2" female'],
    ];
    expect(codes(...two)).toContain('clamped-in-a-row');
    expect(codes(...barrels(300))).not.toContain('clamped-in-a-row');
  });

  it('warns of cut light and of joints that do not fit', () => {
    expect(codes(['filter: {thicknessMm: 2}', 'clearApertureMm: 20'])).toContain('vignetting');
    expect(codes(['rear: M42x0.75 male', 'rear: M42x1 male'])).toContain('joint');
  });

  it('says what it could not check', () => {
    expect(codes([', focalRatio: 5', ''])).toContain('not-checked');
    expect(codes([', front: T thread female', ''])).toContain('not-checked');
  });
});
