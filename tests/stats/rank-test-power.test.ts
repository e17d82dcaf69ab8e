import { describe, expect, it } from 'vitest';
import { secondSampleForPower } from '../../src/stats/rank-test-power.js';
import { mannWhitney } from '../../src/stats/mann-whitney.js';
import { makeRandom } from '../../src/simulate/random.js';

describe('how many more values would tell', () => {
  it('the number found gives about the power asked for', () => {
    const random = makeRandom(7, 'power');
    // Chance that one of two unit normals beats the other by being one sigma higher: Phi(1 / sqrt 2).
    const superiority = 0.76025;
    const m = secondSampleForPower(superiority, 30)!;
    let told = 0;
    for (let trial = 0; trial < 400; trial++) {
      const a = Array.from({ length: 30 }, () => random.normal());
      const b = Array.from({ length: m }, () => 1 + random.normal());
      if (mannWhitney(a, b)!.p < 0.05) told++;
    }
    // 80 % asked for; Noether's formula is an approximation, and 400 trials scatter by 2 %.
    expect(told / 400).toBeGreaterThan(0.7);
    expect(told / 400).toBeLessThan(0.92);
  });

  it('no difference, or too little before: no number would do', () => {
    expect(secondSampleForPower(0.5, 100)).toBeNull();
    expect(secondSampleForPower(0.6, 5)).toBeNull();
    expect(secondSampleForPower(1, 10)).toBeLessThan(10);
  });
});
