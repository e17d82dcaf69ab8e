import { compareFrames } from './expected-decisions.js';
import { frameHeader } from './frame-header.js';
import { frameTruth } from './frame-truth.js';
import type { LoneFrameTruth } from './frame-truth.js';
import { nightTruth } from './night-truth.js';
import { planNight } from './plan-night.js';
import type { FramePlan } from './plan-night.js';
import { renderFrame } from './render-frame.js';
import type { Scenario } from './scenario.js';
import { makeSensorDefects } from './sensor.js';
import { makeStarCatalogue } from './star-catalogue.js';
import { makeStarImage } from './star-image.js';
import type { NightTruth } from './truth-types.js';
import { encodeFits } from './write-fits.js';

/** One finished frame. */
export interface SimulatedFrame {
  readonly plan: FramePlan;
  /** Name relative to the output folder. */
  readonly file: string;
  /** The FITS file. */
  readonly bytes: Uint8Array;
}

/**
 * Make the frames of a scenario one after the other, so that only one is held in memory; returns the truth of the night.
 * Equal scenarios give equal bytes.
 */
export function* simulateNight(scenario: Scenario): Generator<SimulatedFrame, NightTruth, void> {
  const plans = planNight(scenario);
  const catalogue = makeStarCatalogue(scenario);
  const defects = makeSensorDefects(scenario);
  const truths: LoneFrameTruth[] = [];
  for (const plan of plans) {
    const star = makeStarImage(scenario, plan);
    truths.push(frameTruth(scenario, plan, star));
    const pixels = renderFrame(scenario, plan, catalogue, defects, star);
    const { widthPx, heightPx } = scenario.camera;
    const bytes = encodeFits(pixels, widthPx, heightPx, frameHeader(scenario, plan));
    yield { plan, file: plan.file, bytes };
  }
  return nightTruth(scenario, compareFrames(truths));
}

/** The truth of a scenario without drawing its frames: quick, for tests of the arithmetic. */
export function simulateTruth(scenario: Scenario): NightTruth {
  const truths = planNight(scenario).map((plan) =>
    frameTruth(scenario, plan, makeStarImage(scenario, plan, false)),
  );
  return nightTruth(scenario, compareFrames(truths));
}
