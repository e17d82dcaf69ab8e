import { resolve } from 'node:path';
import { UsageError } from '../errors.js';
import {
  builtInScenarios,
  loadScenario,
  RIG_YEAR_FILE,
  TRUTH_FILE,
  withFrameCount,
  withFrameSize,
  writeNight,
  writeRigYear,
} from '../simulate/index.js';
import type { NightTruth, Scenario } from '../simulate/index.js';
import type { CliContext } from './context.js';
import type { SimulateOptions } from './simulate.js';

/** The one built-in name that is months of figures instead of a night of frames. */
const RIG_YEAR = 'rig-year';
const RIG_YEAR_DESCRIPTION =
  'Months of a rig as nightly figures, for its history: seasons, tilt steps, a spacer, guiding that wears out.';

/** Run `starassay simulate`: list the scenarios, or write one. */
export async function runSimulate(
  scenarioName: string | undefined,
  options: SimulateOptions,
  context: CliContext,
): Promise<void> {
  if (options.list) {
    const known = [...builtInScenarios, { name: RIG_YEAR, description: RIG_YEAR_DESCRIPTION }];
    const { wrapLines } = await import('../report/index.js');
    const width = Math.max(...known.map(({ name }) => name.length));
    for (const { name, description } of known)
      context.out(`${wrapLines(`${name.padEnd(width)}  ${description ?? ''}`, context.columns)}\n`);
    return;
  }
  if (!scenarioName) {
    throw new UsageError('no scenario given', 'Give a scenario file or a built-in name; --list shows those.');
  }
  const scenario =
    scenarioName === RIG_YEAR ? null : adjusted(await loadScenario(scenarioName, context.cwd), options);
  if (!options.out) {
    throw new UsageError('no folder given to write to', 'Add --out FOLDER, a new or empty folder.');
  }
  if (scenario === null) {
    await runRigYear(resolve(context.cwd, options.out), options, context);
    return;
  }
  const started = Date.now();
  const truth = await writeNight(scenario, resolve(context.cwd, options.out), {
    replace: options.force ?? false,
    signal: context.signal,
    onProgress: ({ done, total, file }) => {
      if (context.interactive)
        context.note(`\r${done} of ${total}  ${file}\u001b[K${done === total ? '\n' : ''}`);
    },
  });
  const seconds = ((Date.now() - started) / 1000).toFixed(1);
  context.out(
    `${truth.frames.length} frames and ${TRUTH_FILE} written to ${options.out} in ${seconds} s` +
      `${scenario.sweep ? '' : `; ${expectations(truth)}`}\n`,
  );
}

function expectations(truth: NightTruth): string {
  const bad = truth.frames.filter((frame) => frame.expected.decision === 'reject').length;
  const causes = truth.night.expectedCauses.map(({ code }) => code).join(', ') || 'none';
  return `${bad} to reject; planted: ${causes}`;
}

/** `simulate rig-year`: no frames, only the figures of months. */
async function runRigYear(folder: string, options: SimulateOptions, context: CliContext): Promise<void> {
  if (options.size !== undefined) {
    throw new UsageError('a rig-year has no frames to size', 'Leave --size out.');
  }
  if (options.date !== undefined) {
    throw new UsageError('a rig-year has nights of its own', 'Leave --date out.');
  }
  const year = await writeRigYear(
    {
      ...(options.seed === undefined ? {} : { seed: wholeNumber('--seed', options.seed, 0) }),
      ...(options.frames === undefined ? {} : { framesPerNight: wholeNumber('--frames', options.frames, 1) }),
    },
    folder,
    options.force ?? false,
  );
  const frames = year.nights.reduce((sum, night) => sum + night.frames.length, 0);
  context.out(
    `${RIG_YEAR_FILE} written to ${options.out}: ${year.nights.length} nights, ${frames} frames, ${year.events.length} changes of the rig\n`,
  );
}

function adjusted(scenario: Scenario, options: SimulateOptions): Scenario {
  let result = scenario;
  if (options.seed !== undefined) result = { ...result, seed: wholeNumber('--seed', options.seed, 0) };
  if (options.frames !== undefined)
    result = withFrameCount(result, wholeNumber('--frames', options.frames, 1));
  if (options.date !== undefined) {
    result = { ...result, night: { ...result.night, start: startOn(options.date, result.night.start) } };
  }
  if (options.size !== undefined) {
    const match = /^(\d+)x(\d+)$/i.exec(options.size);
    const [width, height] = match ? [Number(match[1]), Number(match[2])] : [0, 0];
    if (width < 64 || height < 64 || width * height > 200e6) {
      throw new UsageError(
        `--size ${options.size} is not a frame size`,
        'Write width x height in pixels, e.g. 1000x700; at least 64x64, at most 200 megapixels.',
      );
    }
    result = withFrameSize(result, width, height);
  }
  return result;
}

/** The scenario's hour on another date. */
function startOn(date: string, start: string): string {
  const moved = `${date}${start.slice('YYYY-MM-DD'.length)}`;
  if (!/^\d{4}-\d\d-\d\d$/.test(date) || new Date(moved).toJSON()?.slice(0, 10) !== date) {
    throw new UsageError(`--date ${date} is not a date`, 'Write year-month-day, e.g. 2026-09-13.');
  }
  return moved;
}

function wholeNumber(option: string, text: string, least: number): number {
  const value = Number(text);
  if (!Number.isSafeInteger(value) || value < least || value > 0xffffffff) {
    throw new UsageError(
      `${option} ${text} is not a whole number of at least ${least}`,
      `Give e.g. ${option} 12.`,
    );
  }
  return value;
}
