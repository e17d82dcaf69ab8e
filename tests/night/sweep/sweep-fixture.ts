import type { ScenarioInput } from '../../../src/simulate/scenario.js';
import {
  assessSweep,
  defaultSweepOptions,
  type SweepAssessment,
  type SweepOptions,
} from '../../../src/night/sweep/index.js';
import { tracedFrames, type TracedOptions } from './traced-sweep.js';

/** A small sweep: 7 positions over 400 um at f/5, seeing 2.5 arcsec changing by 20 %, no thermal drift. */
export const smallSweep: ScenarioInput = {
  name: 'sweep',
  seed: 3,
  frames: 7,
  sweep: { rangeMicron: 400 },
  seeing: { arcsec: 2.5, spread: 0.2, memory: 0 },
  focus: { micronPerKelvin: 0, wanderMicron: 0 },
  camera: { widthPx: 1600, heightPx: 1100 },
};

/** The small sweep with other settings, traced. */
export function sweepFrames(change: Partial<ScenarioInput>, traced: TracedOptions = { columns: 4, rows: 3 }) {
  return tracedFrames({ ...smallSweep, ...change }, traced);
}

/** The small sweep with other settings, assessed. */
export function assessed(
  change: Partial<ScenarioInput>,
  options: Partial<SweepOptions> = {},
): SweepAssessment {
  return assessSweep(sweepFrames(change), { ...defaultSweepOptions, ...options });
}
