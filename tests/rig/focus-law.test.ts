import { describe, expect, it } from 'vitest';
import { focusLaw } from '../../src/rig/focus-law.js';

const rows = (count: number, row: (i: number) => object) =>
  Array.from({ length: count }, (_, i) => ({
    filter: 'L',
    focuserPosition: 1000,
    focuserMicronPerStep: null,
    focusTemperatureC: 10 - 0.5 * i,
    focusOffsetMicron: 4.6 * i,
    ...row(i),
  }));

describe('focus-temperature law', () => {
  it('is the slope of best focus over temperature', () => {
    const law = focusLaw(rows(20, () => ({})))!;
    expect(law.micronPerKelvin).toBeCloseTo(-9.2, 9);
    expect(law.frames).toBe(20);
  });

  it('follows a refocus when the step is known, and gives up when it is not', () => {
    const refocused = (step: number | null) =>
      rows(20, (i) => (i < 10 ? {} : { focuserPosition: 1046, focusOffsetMicron: 4.6 * i - 46 })).map(
        (row) => ({ ...row, focuserMicronPerStep: step }),
      );
    expect(focusLaw(refocused(1))!.micronPerKelvin).toBeCloseTo(-9.2, 9);
    expect(focusLaw(refocused(null))).toBeNull();
  });

  it('needs ten frames of one filter and two degrees', () => {
    expect(focusLaw(rows(9, () => ({})))).toBeNull();
    expect(focusLaw(rows(20, (i) => ({ filter: i % 3 ? 'L' : 'R' })))!.frames).toBe(13);
    expect(focusLaw(rows(20, (i) => ({ focusTemperatureC: 10 - 0.05 * i })))).toBeNull();
    expect(focusLaw(rows(20, () => ({ focusOffsetMicron: null })))).toBeNull();
    expect(focusLaw([])).toBeNull();
  });
});
