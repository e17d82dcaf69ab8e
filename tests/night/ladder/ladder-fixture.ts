import {
  assessLadder,
  type LadderAssessment,
  type LadderOptions,
  type LadderRung,
} from '../../../src/night/ladder/index.js';
import { defaultSweepOptions } from '../../../src/night/sweep/index.js';
import type { ScenarioInput } from '../../../src/simulate/scenario.js';
import { sweepFrames } from '../sweep/sweep-fixture.js';

export const noLadderOptions: LadderOptions = { reducerFocalMm: null, bareFocalMm: null, predictAtMm: [] };

/** Rungs of a traced ladder: best spacing 55.2 mm, 60 um per mm, a reducer of 275 mm whose scale follows. */
export function tracedRungs(
  spacingsMm: readonly number[],
  change: Partial<ScenarioInput> = {},
): LadderRung[] {
  return spacingsMm.map((spacingMm) => {
    const factor = (1 - spacingMm / 275) / (1 - 55.2 / 275);
    const frames = sweepFrames({
      optics: { astigmatismMicron: 8, spacing: { errorMm: spacingMm - 55.2, curvatureMicronPerMm: 60 } },
      ...change,
      seed: Math.round(10 * spacingMm),
    });
    return {
      spacingMm,
      frames: frames.map((frame) => ({
        ...frame,
        scale: { ...frame.scale!, focalLengthMm: 750 * factor },
      })),
    };
  });
}

/** A traced ladder, assessed. */
export function assessedLadder(
  spacingsMm: readonly number[],
  options: Partial<LadderOptions> = {},
): LadderAssessment {
  return assessLadder(tracedRungs(spacingsMm), defaultSweepOptions, { ...noLadderOptions, ...options });
}
