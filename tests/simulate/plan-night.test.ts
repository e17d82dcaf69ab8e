import { describe, expect, it } from 'vitest';
import { parseScenario } from '../../src/simulate/load-scenario.js';
import { focalFactorAt, planNight } from '../../src/simulate/plan-night.js';
import type { FramePlan } from '../../src/simulate/plan-night.js';
import { focusAt } from '../../src/simulate/optical-state.js';
import type { ScenarioInput } from '../../src/simulate/scenario.js';

const plans = (changes: Partial<ScenarioInput>): readonly FramePlan[] =>
  planNight(parseScenario({ name: 'x', frames: 4, ...changes }, 'test'));

describe('planNight', () => {
  it('is the same for the same seed and another for another', () => {
    const figures = (seed: number): unknown =>
      plans({ seed }).map((p) => [p.seeingArcsec, p.optics, p.pose, p.skyElectrons]);
    expect(figures(3)).toEqual(figures(3));
    expect(figures(3)).not.toEqual(figures(4));
  });

  it('keeps time: exposures, gaps and pauses', () => {
    const starts = plans({
      night: { exposureSeconds: 60, gapSeconds: 10, pauses: [{ beforeFrame: 3, minutes: 5 }] },
    }).map((p) => p.start.getTime() / 1000);
    expect(starts.map((s) => s - starts[0])).toEqual([0, 70, 440, 510]);
  });

  it('lays the tilt so that its span is from the lowest to the highest corner, farther out in its direction', () => {
    const [plan] = plans({
      optics: { tilt: { spanMicron: 50, directionDeg: 30 } },
      focus: { startMicron: 0 },
    });
    const { widthPx, heightPx } = plan.optics;
    const corners = [
      [1, 1],
      [widthPx, 1],
      [1, heightPx],
      [widthPx, heightPx],
    ].map(([x, y]) => focusAt(plan.optics, x, y).tangential);
    // Corner pixels' centres lie half a pixel inside the corner.
    expect(Math.max(...corners) - Math.min(...corners)).toBeCloseTo(50, 0);
    expect(corners.indexOf(Math.max(...corners))).toBe(3);
  });

  it('turns a tilt that follows gravity over the flip, and leaves one fixed to the sensor', () => {
    const slope = (follows: 'sensor' | 'gravity'): number[] =>
      plans({
        night: { flipBefore: 3 },
        optics: { tilt: { spanMicron: 50, directionDeg: 0, follows } },
      }).map((p) => Math.sign(p.optics.tiltX));
    expect(slope('gravity')).toEqual([1, 1, -1, -1]);
    expect(slope('sensor')).toEqual([1, 1, 1, 1]);
  });

  it('turns a spacing error into curvature and astigmatism, three to one', () => {
    const [plan] = plans({ optics: { spacing: { errorMm: -0.5, curvatureMicronPerMm: 60 } } });
    expect(plan.optics.tangentialMicron).toBeCloseTo(-45, 10);
    expect(plan.optics.sagittalMicron).toBeCloseTo(-15, 10);
  });

  it('makes a sweep, and a sweep for each rung of a ladder in a folder of its own', () => {
    const sweep = plans({ sweep: { rangeMicron: 300 } });
    expect(sweep[0].focuserStep).toBeLessThan(sweep[3].focuserStep);
    const ladder = plans({ sweep: { rangeMicron: 300 }, ladder: { spacingsMm: [54.5, 55.5] } });
    expect(ladder).toHaveLength(8);
    expect(ladder[0].file).toMatch(/^spacing-54\.50\/.*\.fits$/);
    expect(ladder[7].optics.tangentialMicron).toBeCloseTo(45, 10);
  });

  it('gives light, focus and width to the frames that a fault concerns only', () => {
    const night = plans({
      seeing: { spread: 0 },
      sky: { spread: 0 },
      faults: [
        { kind: 'cloud', frames: [2], course: 'steady', transparency: 0.5 },
        { kind: 'seeing', frames: [3], factor: 2 },
        { kind: 'bright-sky', frames: [4], factor: 5 },
      ],
    });
    expect(night[1].transparency / night[0].transparency).toBeCloseTo(0.5, 2);
    expect(night[2].seeingArcsec / night[0].seeingArcsec).toBeCloseTo(2, 10);
    expect(night[3].skyElectrons / night[0].skyElectrons).toBeCloseTo(5, 10);
  });

  it('changes filters in blocks or in turn', () => {
    const filters = [{ name: 'L' }, { name: 'R' }];
    expect(plans({ filters }).map((p) => p.filter.name)).toEqual(['L', 'L', 'R', 'R']);
    expect(plans({ filters, filterOrder: 'cycle' }).map((p) => p.filter.name)).toEqual(['L', 'R', 'L', 'R']);
  });
});

describe('focalFactorAt', () => {
  it('follows a reducer: 1 - distance / its focal length', () => {
    const scenario = parseScenario(
      { name: 'x', optics: { spacing: { nominalMm: 60, reducerFocalLengthMm: 240 } } },
      'test',
    );
    expect(focalFactorAt(scenario, 0)).toBe(1);
    expect(focalFactorAt(scenario, 12)).toBeCloseTo((1 - 72 / 240) / (1 - 60 / 240), 12);
  });
});
