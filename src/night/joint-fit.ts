import { blurBudget } from './blur-budget.js';
import { comaFlares } from './joint-fit-coma.js';
import { fitData, type FitFrame } from './joint-fit-data.js';
import { fieldMeans, type FrameParameters } from './joint-fit-model.js';
import { chooseModel } from './joint-fit-models.js';
import { focusSign } from './joint-fit-sign.js';
import { solveJointFit } from './joint-fit-solve.js';
import { startFrames } from './joint-fit-start.js';
import { opticalState, sharedErrors } from './joint-fit-state.js';
import { cameraSetups } from './joint-fit-setups.js';
import { tiltWithAltitude } from './tilt-with-altitude.js';
import { turnRate } from './turn-rate.js';
import type { InwardCounts, BlurBudget, JudgedFrame, OpticalState } from './types.js';

/** The optics of each camera set-up of the night, and the blur budget of every frame (same order as the frames given). */
export interface NightFit {
  readonly optics: OpticalState[];
  readonly blur: (BlurBudget | null)[];
}

/** Below this many usable frames a set-up is left alone. */
const FEWEST_FRAMES = 1;

/**
 * Fit all frames of a night together: one tilt, curvature, astigmatism and coma per camera set-up; seeing, focus and tracking of
 * every frame free (SCIENCE section 5; Jarvis, Schechter & Jain 2008, arXiv:0810.0027).
 *
 * @param inward which focuser counts move the sensor inwards, where the user said so; else the smaller ones are taken to
 *
 * Frames with fewer than six field cells get a null budget. With a single focus the signs stay open (`signsKnown` false).
 */
export function fitNight(frames: readonly JudgedFrame[], inward: InwardCounts | null = null): NightFit {
  const optics: OpticalState[] = [];
  const blur: (BlurBudget | null)[] = frames.map(() => null);
  for (const indices of cameraSetups(frames)) {
    const members = indices.map((i) => frames[i]);
    const data = fitData(members, indices);
    if (data.length < FEWEST_FRAMES) continue;
    const { widthPx, heightPx } = members[0].image;
    const half = Math.hypot(widthPx, heightPx) / 2;
    const means = fieldMeans(widthPx / 2 / half, heightPx / 2 / half);
    const turn = turnRate(members);
    const model = chooseModel(data, means, turn === null || turn.aligned ? null : turn.trailPx);
    const own = allFrames(data, model);
    const sign = focusSign(data, own.parameters, own.focusError, frames, inward);
    const { shared } = model.solution;
    const coma = comaFlares(data, shared);
    const altitude = tiltWithAltitude(model, frames);
    optics.push(opticalState({ members, data, own, model, sign, coma, altitude, means }));
    const errors = sharedErrors(model);
    data.forEach((frame, k) => {
      blur[frame.index] = blurBudget(
        shared,
        own.parameters[k],
        frame.side,
        means,
        { ...errors, focus: own.focusError[k] },
        frames[frame.index].scale?.arcsecPerPx ?? null,
      );
    });
  }
  return { optics, blur };
}

/** Own parameters of every frame: those that took part in the shared fit as found there, the rest fitted to the optics found. */
function allFrames(
  data: readonly FitFrame[],
  model: ReturnType<typeof chooseModel>,
): { parameters: FrameParameters[]; focusError: number[] } {
  const { problem, solution } = model;
  const known = new Map(problem.frames.map((frame, k) => [frame.index, k]));
  const parameters: FrameParameters[] = [];
  const focusError: number[] = [];
  for (const frame of data) {
    const k = known.get(frame.index);
    if (k !== undefined) {
      parameters.push(solution.own[k]);
      focusError.push(solution.focusError[k]);
    } else {
      const alone = { ...problem, frames: [frame], free: [] };
      const { own, ...later } = solveJointFit(
        alone,
        solution.shared,
        startFrames(alone, solution.shared),
        20,
      );
      parameters.push(own[0]);
      focusError.push(later.focusError[0] * Math.max(1, model.scatter));
    }
  }
  return { parameters, focusError };
}
