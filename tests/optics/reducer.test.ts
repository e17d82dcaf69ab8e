import { describe, expect, it } from 'vitest';
import { reducerDistanceMm, reducerFactor, reducerRemainderMm } from '../../src/optics/reducer.js';

describe('reduction factor', () => {
  it('and distance undo each other', () => {
    expect(reducerDistanceMm(reducerFactor(55, 275), 275)).toBeCloseTo(55, 12);
  });

  it('is above one for an extender', () => {
    expect(reducerFactor(100, -100)).toBe(2);
  });

  it('refuses a lens without power', () => {
    expect(() => reducerFactor(55, 0)).toThrow(RangeError);
    expect(() => reducerDistanceMm(0.8, NaN)).toThrow(RangeError);
  });
});

describe('two spacings without a catalogue', () => {
  it('give how far the reducer stands from its own focus', () => {
    const ratio = reducerFactor(57, 275) / reducerFactor(55, 275);
    expect(reducerRemainderMm(ratio, 2)).toBeCloseTo(275 - 55, 9);
  });

  it('say nothing when the scale did not change', () => {
    expect(reducerRemainderMm(1, 2)).toBe(Infinity);
  });
});
