import { describe, expect, it } from 'vitest';
import { sumTrain } from '../../../src/optics/train/train-sum.js';
import { madeTrain } from './train-fixture.js';

describe('the sum of a train', () => {
  it('sets its length against what the corrector asks for, glass included', () => {
    const sum = sumTrain(madeTrain());
    expect(sum.totalMm).toBeCloseTo(54.5, 9);
    expect(sum.glassShiftMm).toBeCloseTo(0.6814, 4);
    expect(sum.errorMm).toBeCloseTo(-1.1814, 4);
    expect(sum.verdict).toBe('short');
  });

  it('counts the camera window when the file gives one', () => {
    const sum = sumTrain(
      madeTrain(['sensorDepthMm: 17.5', 'sensorDepthMm: 17.5, window: {thicknessMm: 3, index: 1.5}']),
    );
    expect(sum.glass.map((g) => g.name)).toEqual(['drawer', 'camera: window']);
    expect(sum.glassShiftMm).toBeCloseTo(1.6814, 4);
  });

  it('is within tolerance at the limit itself', () => {
    const sum = sumTrain(madeTrain(['filter: {thicknessMm: 2}', ''], ['lengthMm: 20', 'lengthMm: 20.6']));
    expect(sum.errorMm).toBeCloseTo(0.1, 9);
    expect(sum.verdict).toBe('within-tolerance');
  });

  it('gives every part its place and every joint its verdict', () => {
    const sum = sumTrain(madeTrain(['rear: M42x0.75 male', 'rear: M42x1 male']));
    expect(sum.parts.map((p) => [p.frontToSensorMm, p.rearToSensorMm])).toEqual([
      [54.5, 34.5],
      [34.5, 17.5],
    ]);
    expect(sum.joints.map((j) => j.verdict.fits)).toEqual(['yes', 'yes', 'no']);
  });

  it('lets shims and loose filters lie in a joint without being one', () => {
    const shim =
      '  - {name: shim, kind: shim, lengthMm: 0.5}\n  - {name: glass, kind: filter, lengthMm: 0, filter: {thicknessMm: 1}}\ncamera:';
    const sum = sumTrain(madeTrain(['camera:', shim]));
    expect(sum.joints).toHaveLength(3);
    expect(sum.joints[2]?.between).toEqual(['drawer', 'camera']);
    expect(sum.totalMm).toBeCloseTo(55, 9);
  });
});
