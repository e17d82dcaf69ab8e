import { describe, expect, it } from 'vitest';
import { parseAngle } from '../../src/fits/header-angle.js';

describe('parseAngle', () => {
  it.each([
    [-31.5, -31.5, false, null],
    ['-31.5', -31.5, false, null],
    ['-00 30 00', -0.5, true, null],
    [' 15:28:35.7', 15 + 28 / 60 + 35.7 / 3600, true, null],
    ['12h34m56s', 12 + 34 / 60 + 56 / 3600, true, 'h'],
    ['+45d12\'30"', 45 + 12 / 60 + 30 / 3600, true, 'd'],
    ['64 32.5', 64 + 32.5 / 60, true, null],
    ['64.5 W', -64.5, false, null],
    ['33 S', -33, false, null],
  ])('%s', (text, value, sexagesimal, mark) => {
    const angle = parseAngle(text)!;
    expect(angle.value).toBeCloseTo(value, 10);
    expect([angle.sexagesimal, angle.mark]).toEqual([sexagesimal, mark]);
  });

  it.each(['', 'north', '12:61:00', '12:00:60.5', '1.5:20:00', NaN, true])('refuses %s', (text) => {
    expect(parseAngle(text)).toBeNull();
  });
});
