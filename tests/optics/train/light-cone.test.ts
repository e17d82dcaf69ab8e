import { describe, expect, it } from 'vitest';
import { lightCone } from '../../../src/optics/train/light-cone.js';

describe('light cone of a sensor', () => {
  it('is as wide as the sensor on it and grows with distance over focal ratio', () => {
    expect(lightCone(0, 30, 5, 28).neededMm).toBe(28);
    expect(lightCone(50, 30, 5, 28).neededMm).toBeCloseTo(38, 12);
  });

  it('is just the exit pupil at the exit pupil', () => {
    expect(lightCone(300, 60, 5, 28, 300).neededMm).toBeCloseTo(60, 12);
  });

  it('loses nothing in an opening as wide as needed, and everything outside it', () => {
    expect(lightCone(50, 38, 5, 28)).toMatchObject({ cornerLight: 1, centreLight: 1 });
    expect(lightCone(50, 5, 50, 28).cornerLight).toBe(0);
    expect(lightCone(50, 5, 5, 0.001).centreLight).toBeCloseTo(0.25, 6);
  });

  it('shares areas as counted on a fine grid', () => {
    const [d, clear, n, diagonal] = [50, 30, 5, 28];
    let inside = 0;
    let all = 0;
    for (let i = 0; i < 600; i += 1) {
      for (let j = 0; j < 600; j += 1) {
        const x = 10 * ((i + 0.5) / 300 - 1) * 0.5;
        const y = 10 * ((j + 0.5) / 300 - 1) * 0.5;
        if (Math.hypot(x, y) > 5) continue;
        all += 1;
        if (Math.hypot(x + 14, y) <= 15) inside += 1;
      }
    }
    // Grid of 600 across: about 1/600 along the rim.
    expect(lightCone(d, clear, n, diagonal).cornerLight).toBeCloseTo(inside / all, 2);
  });

  it('refuses what has no geometry', () => {
    expect(() => lightCone(10, 30, 0, 28)).toThrow(RangeError);
    expect(() => lightCone(10, 30, 5, 28, 0)).toThrow(RangeError);
  });
});
