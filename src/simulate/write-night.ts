import { mkdir, readFile, readdir, rename, stat, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { UsageError } from '../errors.js';
import { planNight } from './plan-night.js';
import type { Scenario } from './scenario.js';
import { simulateNight } from './simulate-night.js';
import type { NightTruth } from './truth-types.js';

/** Name of the file that holds the truth, beside the frames. */
export const TRUTH_FILE = 'truth.json';

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
  await checkFolder(
    folder,
    plans.map((plan) => plan.file),
    options.replace ?? false,
  );
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

async function checkFolder(folder: string, files: readonly string[], replace: boolean): Promise<void> {
  let present: string[];
  try {
    present = await readdir(folder);
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    if (code === 'ENOENT') return;
    if (code === 'ENOTDIR') {
      throw new UsageError(
        `${folder} is a file, not a folder`,
        'Give a new or empty folder with --out.',
        folder,
      );
    }
    throw new UsageError(
      `${folder} cannot be read: ${(error as Error).message}`,
      'Give a folder you may write to.',
      folder,
    );
  }
  if (present.length === 0) return;
  if (!replace) {
    throw new UsageError(
      `${folder} is not empty`,
      'Give a new or empty folder, or --force to write anew what an earlier simulation left there.',
      folder,
    );
  }
  const own = await earlierFiles(folder);
  for (const file of [...files, TRUTH_FILE]) {
    if (own.has(file)) continue;
    if (await exists(join(folder, file))) {
      throw new UsageError(
        `${join(folder, file)} is there and was not made by a simulation`,
        'Move it away, or give another folder.',
        folder,
      );
    }
  }
}

/** Files that an earlier simulation wrote, by its truth.json. */
async function earlierFiles(folder: string): Promise<ReadonlySet<string>> {
  try {
    const truth = JSON.parse(await readFile(join(folder, TRUTH_FILE), 'utf8')) as Partial<NightTruth>;
    if (truth.schema !== 'starassay/truth@1') return new Set();
    return new Set([TRUTH_FILE, ...(truth.frames ?? []).map((frame) => frame.file)]);
  } catch {
    // No truth.json, or not ours: nothing here may be replaced.
    return new Set();
  }
}

async function exists(path: string): Promise<boolean> {
  try {
    await stat(path);
    return true;
  } catch {
    return false;
  }
}

/** A file appears under its name only when it is whole. */
async function writeWhole(path: string, content: Uint8Array | string): Promise<void> {
  const partial = `${path}.partial`;
  await writeFile(partial, content);
  await rename(partial, path);
}

/** Seven digits are more than any truth here deserves, and keep the file small. */
function roundNumbers(_key: string, value: unknown): unknown {
  return typeof value === 'number' && !Number.isInteger(value) ? Number(value.toPrecision(7)) : value;
}
