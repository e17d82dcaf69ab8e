import { describe, expect, it } from 'vitest';
import {
  angleBetween,
  commonAngle,
  rigIdOf,
  sameOptics,
  sameTrain,
  trainName,
  trainOfFrame,
  withKey,
} from '../../src/rig/train.js';
import { madeFrame } from './made-history.js';

describe('imaging train of a frame', () => {
  const train = trainOfFrame(madeFrame());

  it('comes from the headers, the pixel unbinned, the angle modulo 180', () => {
    expect(train).toMatchObject({
      camera: 'Heron 26M',
      telescope: 'Marsh 106',
      focalLengthMm: 530,
      pixelMicron: 3.76,
      rotationDeg: 91,
    });
    expect(trainOfFrame(madeFrame({ rotationDeg: 271 })).rotationDeg).toBe(91);
    const frame = madeFrame({ header: { binning: [2, 2] } });
    const binned = { ...frame, scale: { ...frame.scale!, pixelPitchMicron: 7.52 } };
    expect(trainOfFrame(binned).pixelMicron).toBe(3.76);
    expect(trainOfFrame(madeFrame({ header: { rotatorDeg: -10 } })).rotationDeg).toBe(170);
  });

  it('a solved focal length that wanders is the same optics, a reducer is not', () => {
    expect(sameOptics(train, { ...train, focalLengthMm: 533 })).toBe(true);
    expect(sameOptics(train, { ...train, focalLengthMm: 424 })).toBe(false);
    expect(sameOptics(train, { ...train, focalLengthMm: null })).toBe(false);
    expect(sameOptics(train, { ...train, camera: 'Heron 9M' })).toBe(false);
    expect(sameOptics(train, { ...train, pixelMicron: null })).toBe(false);
  });

  it('a turned camera is another train of the same optics; a meridian flip turns nothing', () => {
    expect(sameTrain(train, { ...train, rotationDeg: 120 })).toBe(false);
    expect(sameTrain({ ...train, rotationDeg: 179 }, { ...train, rotationDeg: 2 })).toBe(true);
    expect(sameTrain(train, { ...train, rotationDeg: null })).toBe(true);
    expect(angleBetween(179, 2)).toBe(3);
  });

  it('a common angle is a median on the circle', () => {
    const at = (rotationDeg: number | null) => ({ ...train, rotationDeg });
    expect(commonAngle([at(178), at(1), at(179), at(null)])).toBe(179);
    expect(commonAngle([at(null)])).toBeNull();
    expect(commonAngle([])).toBeNull();
  });

  it('rig ids are equal on every computer, keys carry the angle', () => {
    expect(rigIdOf(train)).toBe(rigIdOf({ ...train, rotationDeg: 10, key: 'x' }));
    expect(withKey(train, 'abc').key).toBe('abc@91');
    expect(withKey({ ...train, rotationDeg: null }, 'abc').key).toBe('abc@any');
    expect(trainName(train)).toBe('Marsh 106, 530 mm, Heron 26M');
    expect(trainName({ ...train, camera: null, telescope: null, focalLengthMm: null })).toBe('unnamed rig');
  });
});
