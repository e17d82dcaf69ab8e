import { describe, expect, it } from 'vitest';
import { parseScenario } from '../../src/simulate/load-scenario.js';
import { withFrameCount, withFrameSize } from '../../src/simulate/resize-scenario.js';

const scenario = parseScenario(
  {
    name: 'x',
    frames: 10,
    night: { flipBefore: 6, pauses: [{ beforeFrame: 4, minutes: 9 }] },
    temperature: { drops: [{ beforeFrame: 10, byC: 1 }] },
    focus: { refocusBefore: [2, 3] },
    faults: [
      { kind: 'streak', frames: [1, 10] },
      { kind: 'cloud', frames: { from: 5, to: 6 }, transparency: 0.5 },
    ],
  },
  'test',
);

describe('withFrameCount', () => {
  it('keeps the place of things in the night', () => {
    const longer = withFrameCount(scenario, 40);
    expect(longer.frames).toBe(40);
    expect(longer.faults[0].frames).toEqual([3, 39]);
    expect(longer.faults[1].frames).toEqual({ from: 19, to: 23 });
    expect(longer.night.flipBefore).toBe(23);
  });

  it('keeps everything within a shorter night, with no frame named twice', () => {
    const shorter = withFrameCount(scenario, 2);
    expect(shorter.faults[0].frames).toEqual([1, 2]);
    expect(shorter.focus.refocusBefore).toEqual([2]);
    expect(shorter.temperature.drops[0].beforeFrame).toBe(2);
  });

  it('leaves an equal count alone', () => {
    expect(withFrameCount(scenario, 10)).toEqual(scenario);
  });
});

describe('withFrameSize', () => {
  it('keeps the number of stars per area', () => {
    const larger = withFrameSize(scenario, 2000, 1400);
    expect(larger.camera.widthPx).toBe(2000);
    expect(larger.stars.count).toBe(4 * scenario.stars.count);
  });
});
