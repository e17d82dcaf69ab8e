import { describe, expect, it } from 'vitest';
import { parseScenario } from '../../src/simulate/load-scenario.js';
import type { ScenarioInput } from '../../src/simulate/scenario.js';
import { simulateTruth } from '../../src/simulate/simulate-night.js';
import type { NightTruth } from '../../src/simulate/truth-types.js';

const truth = (changes: Partial<ScenarioInput>): NightTruth =>
  simulateTruth(
    parseScenario(
      {
        name: 'x',
        frames: 3,
        camera: { widthPx: 600, heightPx: 400, pixelMicron: 4 },
        seeing: { spread: 0.01 },
        ...changes,
      },
      'test',
    ),
  );
const codes = (night: NightTruth): string[] => night.night.expectedCauses.map(({ code }) => code);

describe('nightTruth', () => {
  it('expects nothing of a clean night', () => {
    const night = truth({});
    expect(codes(night)).toEqual([]);
    expect(night.night.dominant).toBeNull();
  });

  it('expects what was planted plainly, the strongest first, with its frames', () => {
    const night = truth({
      faults: [
        { kind: 'guiding', frames: [2], driftArcsec: 6 },
        { kind: 'cloud', frames: [3], course: 'steady', transparency: 0.75 },
      ],
    });
    expect(codes(night)).toEqual(['guiding-trail', 'cloud']);
    expect(night.night.expectedCauses[0].frames).toEqual([night.frames[1].file]);
    expect(night.night.expectedCauses[1].effect).toBeCloseTo(0.25, 2);
  });

  it('does not hold a diagnosis to what nobody could see', () => {
    expect(codes(truth({ optics: { tilt: { spanMicron: 8, directionDeg: 0 } } }))).toEqual([]);
    expect(codes(truth({ optics: { tilt: { spanMicron: 90, directionDeg: 0 } } }))).toEqual(['sensor-tilt']);
  });

  it('tells a short spacing from a long one, and states the tilt as an angle', () => {
    const short = truth({
      frames: 1,
      optics: { spacing: { errorMm: -0.8 }, tilt: { spanMicron: 60, directionDeg: 0 } },
    });
    expect(codes(short)).toContain('spacing-short');
    expect(short.night.curvature.cornerMicron).toBeCloseTo(-48, 8);
    expect(short.night.astigmatism.cornerMicron).toBeCloseTo(-24, 8);
    // 60 um over 600 pixels of 4 um.
    expect(short.night.tilt.angleArcmin).toBeCloseTo((Math.atan(0.06 / 2.4) * 180 * 60) / Math.PI, 3);
    expect(codes(truth({ optics: { spacing: { errorMm: 0.8 } } }))).toContain('spacing-long');
  });

  it('tells a drift of focus from a filter out of focus', () => {
    expect(codes(truth({ temperature: { dropPerHourC: 60 }, focus: { micronPerKelvin: -14 } }))).toEqual([
      'focus-drift',
    ]);
    // Set askew at every refocusing, but not drifting.
    expect(codes(truth({ focus: { refocusBefore: [2, 3], refocusScatterMicron: 70 } }))).toEqual([]);
    const filters = [{ name: 'L' }, { name: 'R', focusMicron: 70 }];
    expect(codes(truth({ filters, filterOrder: 'cycle' }))).toEqual(['focus-offset']);
  });

  it('takes the word of a scenario that says what it expects', () => {
    expect(codes(truth({ expectedCauses: ['dew'] }))).toEqual(['dew']);
  });

  it('lists the rungs of a ladder', () => {
    const ladder = truth({
      frames: 1,
      sweep: { rangeMicron: 100 },
      optics: { spacing: { nominalMm: 55, curvatureMicronPerMm: 60 } },
      ladder: { spacingsMm: [54, 55.5] },
    });
    expect(ladder.night.rungs.map((r) => [r.spacingMm, r.curvatureMicron])).toEqual([
      [54, -60],
      [55.5, 30],
    ]);
  });
});
