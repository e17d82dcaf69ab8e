import { describe, expect, it } from 'vitest';
import {
  bounded,
  calibrated,
  carryingFrames,
  carryingSetups,
  logistic,
  realAndLarge,
} from '../../src/causes/confidence.js';

describe('confidence', () => {
  it('turns log-odds into probability', () => {
    expect(logistic(0)).toBe(0.5);
    expect(logistic(Math.log(9))).toBeCloseTo(0.9, 12);
  });

  it('bounds a witness', () => {
    expect(bounded(7, 3)).toBe(3);
    expect(bounded(-7, 3)).toBe(-3);
  });

  it('asks of an effect that it be real and large', () => {
    expect(realAndLarge(20, 5, 10, 5)).toBeGreaterThan(0.9);
    expect(realAndLarge(20, 5, 1, 5)).toBeLessThan(0.05);
    expect(realAndLarge(2, 5, 50, 5)).toBeLessThan(0.05);
    expect(realAndLarge(20, 5, 5, 5)).toBeCloseTo(0.5, 6);
    expect(realAndLarge(NaN, 5, 5, 5)).toBe(0);
  });

  it('is recalibrated about one half, monotonically, and never certain', () => {
    expect(calibrated(0.5)).toBeCloseTo(0.5, 12);
    // Log-odds doubled: 0.8 is 4 to 1, 16 to 1 is 0.941.
    expect(calibrated(0.8)).toBeCloseTo(16 / 17, 12);
    expect(calibrated(0.2)).toBeCloseTo(1 / 17, 12);
    expect(calibrated(1)).toBeLessThan(1);
    expect(calibrated(0)).toBeGreaterThan(0);
  });

  it('names the frames that carry a finding; of a doubtful one, the strongest', () => {
    const frames = [0.9, 0.6, 0.3].map((confidence) => ({ confidence }));
    expect(carryingFrames(frames, 0.9)).toEqual(frames.slice(0, 2));
    expect(carryingFrames(frames.slice(2), 0.3)).toEqual(frames.slice(2));
  });

  it('tells of no doubtful set-up under the head of a sure one', () => {
    const setups = [0.93, 0.6, 0.1].map((confidence) => ({ confidence }));
    expect(carryingSetups(setups)).toEqual(setups.slice(0, 2));
    expect(carryingSetups(setups.slice(2))).toEqual(setups.slice(2));
    expect(carryingSetups([])).toEqual([]);
  });
});
