import { mkdir } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { TRUTH_FILE, checkOutputFolder, writeWhole } from './output-folder.js';
import { planNight } from './plan-night.js';
import type { Scenario } from './scenario.js';
import { simulateNight } from './simulate-night.js';
import type { NightTruth } from './truth-types.js';

/** How the writing goes, for a progress line. */
export interface WritingProgress {
  readonly done: number;
  readonly total: number;
  readonly file: string;
}

/**
 * Write a scenario's frames and truth.json into a folder, which is made when it is not there.
 *
 * A folder that holds anything is refused; with `replace` the frames of an earlier simulation there (those its truth.json lists) are
 * written anew and everything else stays: a file that this program did not make is never overwritten. Stops between frames when
 * `signal` aborts. Throws UsageError.
 */
export async function writeNight(
  scenario: Scenario,
  folder: string,
  options: {
    readonly replace?: boolean;
    readonly signal?: AbortSignal;
    readonly onProgress?: (progress: WritingProgress) => void;
  } = {},
): Promise<NightTruth> {
  const plans = planNight(scenario);
  await checkOutputFolder(folder, [TRUTH_FILE, ...plans.map((plan) => plan.file)], options.replace ?? false);
  await mkdir(folder, { recursive: true });
  const night = simulateNight(scenario);
  let done = 0;
  for (;;) {
    options.signal?.throwIfAborted();
    const step = night.next();
    if (step.done) {
      await writeWhole(join(folder, TRUTH_FILE), JSON.stringify(step.value, roundNumbers, 1) + '\n');
      return step.value;
    }
    const path = join(folder, step.value.file);
    await mkdir(dirname(path), { recursive: true });
    await writeWhole(path, step.value.bytes);
    done++;
    options.onProgress?.({ done, total: plans.length, file: step.value.file });
  }
}

/** Seven digits are more than any truth here deserves, and keep the file small. */
function roundNumbers(_key: string, value: unknown): unknown {
  return typeof value === 'number' && !Number.isInteger(value) ? Number(value.toPrecision(7)) : value;
}
