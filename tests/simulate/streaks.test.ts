import { describe, expect, it } from 'vitest';
import { parseScenario } from '../../src/simulate/load-scenario.js';
import { planNight } from '../../src/simulate/plan-night.js';
import { makeStarImage } from '../../src/simulate/star-image.js';
import { drawStreak, planStreaks } from '../../src/simulate/streaks.js';

const scenario = parseScenario(
  {
    name: 'x',
    frames: 2,
    camera: { widthPx: 300, heightPx: 200 },
    faults: [
      { kind: 'streak', frames: [2], angleDeg: 20, electronsPerPx: 100 },
      { kind: 'streak', frames: [2], angleDeg: 95, count: 2, lengthFraction: 0.2 },
    ],
  },
  'test',
);
const [clear, crossed] = planNight(scenario);

describe('planStreaks', () => {
  it('plants the trails of a frame, and none elsewhere', () => {
    expect(planStreaks(scenario, clear)).toEqual([]);
    const [long, short, other] = planStreaks(scenario, crossed);
    expect(long.angleDeg).toBeCloseTo(20, 8);
    expect(Math.hypot(long.x2 - long.x1, long.y2 - long.y1)).toBeGreaterThan(Math.hypot(300, 200));
    expect(Math.hypot(short.x2 - short.x1, short.y2 - short.y1)).toBeCloseTo(0.2 * Math.hypot(300, 200), 8);
    expect(other.angleDeg).not.toBe(short.angleDeg);
  });
});

describe('drawStreak', () => {
  it('puts the stated light on each pixel of length, along the line', () => {
    const image = new Float32Array(300 * 200);
    const streak = { x1: 50.5, y1: 100, x2: 250.5, y2: 100, angleDeg: 0, electronsPerPx: 100 };
    drawStreak(image, 300, 200, streak, makeStarImage(scenario, crossed));
    let column = 0;
    for (let y = 0; y < 200; y++) column += image[y * 300 + 149];
    // Light beyond three widths is left out.
    expect(column).toBeGreaterThan(95);
    expect(column).toBeLessThanOrEqual(100.1);
    expect(image[99 * 300 + 149]).toBeGreaterThan(image[102 * 300 + 149]);
  });
});
