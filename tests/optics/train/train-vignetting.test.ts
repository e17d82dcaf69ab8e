import { describe, expect, it } from 'vitest';
import { sumTrain } from '../../../src/optics/train/train-sum.js';
import { checkVignetting } from '../../../src/optics/train/train-vignetting.js';
import { madeTrain } from './train-fixture.js';

const check = (...changes: readonly (readonly [string, string])[]) => {
  const train = madeTrain(...changes);
  return checkVignetting(train, sumTrain(train));
};

describe('openings of a train against its light cone', () => {
  it('are looked at from corrector to camera, with the usual aperture where none is given', () => {
    const result = check();
    expect(result.diagonalMm).toBe(30);
    expect(result.openings.map((o) => [o.name, o.assumed])).toEqual([
      ['reducer', false],
      ['tube 20', true],
      ['drawer', true],
      ['camera', true],
    ]);
    expect(result.openings[0]?.neededMm).toBeCloseTo(30 + 54.5 / 5, 9);
  });

  it('name the one that cuts most', () => {
    const result = check(['filter: {thicknessMm: 2}', 'clearApertureMm: 25']);
    expect(result.tightest?.name).toBe('drawer');
    expect(result.tightest!.cornerLight).toBeLessThan(0.9);
  });

  it('say what is missing', () => {
    expect(check([', focalRatio: 5', '']).missing).toContain('focalRatio');
    expect(check([', sensorWidthMm: 24', '']).missing).toContain('sensorWidthMm');
  });
});
