import { describe, expect, it } from 'vitest';
import { defocusDiscMicron, defocusVarianceMicron2 } from '../../src/optics/defocus-disc.js';

describe('defocus disc', () => {
  it('does not depend on the side of focus', () => {
    expect(defocusDiscMicron(-100, 5)).toBe(20);
    expect(defocusDiscMicron(100, 5)).toBe(20);
  });

  it.each([0, 0.35])('has the second moment of rays through the pupil, obstruction %f', (obstruction) => {
    let sum = 0;
    let count = 0;
    const steps = 800;
    for (let i = 0; i < steps; i += 1) {
      for (let j = 0; j < steps; j += 1) {
        const x = (2 * (i + 0.5)) / steps - 1;
        const y = (2 * (j + 0.5)) / steps - 1;
        const radius = Math.hypot(x, y);
        if (radius > 1 || radius < obstruction) continue;
        sum += (10 * x) ** 2;
        count += 1;
      }
    }
    // A grid of 800 rays across misses the rim by about 1/800.
    expect(defocusVarianceMicron2(100, 5, obstruction) / (sum / count)).toBeCloseTo(1, 3);
  });
});
