import { describe, expect, it } from 'vitest';
import { focusSeries } from '../../src/simulate/focus-series.js';
import { parseScenario } from '../../src/simulate/load-scenario.js';
import { makeRandom } from '../../src/simulate/random.js';
import type { ScenarioInput } from '../../src/simulate/scenario.js';

const series = (
  changes: Partial<ScenarioInput>,
  commanded: number[] | null = null,
): ReturnType<typeof focusSeries> =>
  focusSeries(
    parseScenario(
      {
        name: 'x',
        frames: 4,
        temperature: { startC: 10, dropPerHourC: 1 },
        focus: { micronPerKelvin: -9, wanderMicron: 0, refocusScatterMicron: 0 },
        ...changes,
      },
      'test',
    ),
    [0, 1, 2, 3],
    [0, 0, 0, 30],
    commanded,
    makeRandom(1),
  );

describe('focusSeries', () => {
  it('follows the temperature: a tube that shrinks leaves the image surface beyond the sensor', () => {
    const moments = series({});
    expect(moments.map((m) => m.airTemperatureC)).toEqual([10, 9, 8, 7]);
    expect(moments.slice(0, 3).map((m) => m.focusMicron)).toEqual([0, 9, 18]);
  });

  it('adds the shift of a filter', () => {
    expect(series({})[3].focusMicron).toBeCloseTo(27 + 30, 10);
  });

  it('sets the focuser to best focus where it is told to, outwards for a shrunken tube', () => {
    const moments = series({
      focus: { micronPerKelvin: -9, wanderMicron: 0, refocusScatterMicron: 0, refocusBefore: [3] },
    });
    expect(moments[2].focusMicron).toBeCloseTo(0, 10);
    expect(moments[2].focuserStep - moments[1].focuserStep).toBe(12);
  });

  it('takes extra falls of temperature', () => {
    const moments = series({
      temperature: { startC: 10, dropPerHourC: 0, drops: [{ beforeFrame: 3, byC: 2 }] },
    });
    expect(moments.map((m) => m.airTemperatureC)).toEqual([10, 10, 8, 8]);
  });

  it('goes where a sweep sends it, in whole steps: farther out means the image lies short of the sensor', () => {
    const moments = series({ focus: { micronPerKelvin: 0, wanderMicron: 0 } }, [-150, -50, 50, 150]);
    expect(moments[0].focusMicron).toBeCloseTo(150, 10);
    expect(Math.abs(moments[1].focusMicron - 50)).toBeLessThanOrEqual(0.75);
    expect(moments[3].focuserStep - moments[0].focuserStep).toBe(200);
  });
});
