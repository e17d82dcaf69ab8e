import { describe, expect, it } from 'vitest';
import { makeRandom } from '../../src/simulate/random.js';
import { faultSchema } from '../../src/simulate/scenario-faults.js';
import { trackingPath } from '../../src/simulate/tracking-path.js';
import type { ActiveFault } from '../../src/simulate/tracking-path.js';

const path = (faults: object[], start = 0, raAxisDeg = 0): ReturnType<typeof trackingPath> =>
  trackingPath(
    { raArcsec: 0.6, decArcsec: 0.3 },
    faults.map((fault) => ({ fault: faultSchema.parse(fault), strength: 1 })) as ActiveFault[],
    start,
    100,
    1.5,
    raAxisDeg,
    makeRandom(1),
  );

describe('trackingPath', () => {
  it('gives ordinary guiding its variance on each axis, in pixels', () => {
    const [xx, xy, yy] = path([]).jitter;
    expect([xx, xy, yy]).toEqual([expect.closeTo(0.16, 10), expect.closeTo(0, 10), expect.closeTo(0.04, 10)]);
    const [turnedXx, , turnedYy] = path([], 0, 90).jitter;
    expect([turnedXx, turnedYy]).toEqual([expect.closeTo(0.04, 10), expect.closeTo(0.16, 10)]);
  });

  it('drifts steadily along the axis that was asked for', () => {
    const dec = path([{ kind: 'guiding', axis: 'dec', driftArcsec: 3 }]);
    expect(dec.at(1)[1] - dec.at(0)[1]).toBeCloseTo(2, 10);
    expect(dec.at(1)[0] - dec.at(0)[0]).toBeCloseTo(0, 10);
    const slanted = path([{ kind: 'guiding', axis: 30, driftArcsec: 3 }]);
    expect(slanted.at(1)[0] - slanted.at(0)[0]).toBeCloseTo(2 * Math.cos(Math.PI / 6), 10);
  });

  it('carries a periodic error on from frame to frame', () => {
    const fault = { kind: 'guiding', periodicArcsec: 3, periodSeconds: 400 };
    const first = path([fault]);
    const second = path([fault], 100);
    expect(first.at(1)[0]).toBeCloseTo(second.at(0)[0], 10);
    expect(first.at(1)[0]).toBeCloseTo(2, 10);
  });

  it('jumps once', () => {
    const jump = path([{ kind: 'guiding', jumpArcsec: 3 }]);
    const steps = Array.from({ length: 100 }, (_, i) => jump.at((i + 1) / 100)[0] - jump.at(i / 100)[0]);
    expect(steps.filter((step) => step !== 0)).toHaveLength(1);
  });

  it('wind shakes both axes, one more than the other, unlike in every frame', () => {
    const wind = { kind: 'wind', rmsArcsec: 3, angleDeg: 0, gustiness: 0 };
    const [xx, , yy] = path([wind]).jitter;
    expect(xx).toBeCloseTo(0.16 + 4, 8);
    expect(yy).toBeCloseTo(0.04 + 4 * 0.16, 8);
    const gusty = faultSchema.parse({ ...wind, gustiness: 1 });
    const frame = (seed: number): number =>
      trackingPath(
        { raArcsec: 0, decArcsec: 0 },
        [{ fault: gusty, strength: 1 } as ActiveFault],
        0,
        100,
        1.5,
        0,
        makeRandom(seed),
      ).jitter[0];
    expect(frame(1)).not.toBeCloseTo(frame(2), 3);
  });
});
