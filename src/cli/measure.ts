import { basename, resolve } from 'node:path';
import { setImmediate } from 'node:timers/promises';
import { UsageError } from '../errors.js';
import type { FrameJob } from '../field/index.js';
import type { FrameAssessment } from '../field/types.js';
import type { StarTable } from '../stars/types.js';
import type { CliContext, RegisterCommand } from './context.js';
import { addFrameOptions, frameOptionsOf, type FrameFlags } from './frame-options.js';

interface MeasureFlags extends FrameFlags {
  readonly json?: boolean;
  readonly stars?: string;
}

const examples = `
Examples:
  starassay measure sub_0012.fits
  starassay measure sub_0012.fits --stars stars.ecsv   the star list, for astropy or a spreadsheet (.csv)
  starassay measure night/*.fits --json                one JSON line a file`;

/** `starassay measure`: single frames in full. */
export const registerMeasure: RegisterCommand = (program, context) => {
  const command = program
    .command('measure')
    .description('measure single frames in full: figures, pattern over the sensor, star list')
    .argument('<file...>', 'FITS files')
    .option('--json', 'one JSON line a file instead of text')
    .option('--stars <file>', 'write the star list of one frame (.ecsv or .csv)');
  addFrameOptions(command)
    .addHelpText('after', examples)
    .action(async (files: string[]) => {
      const { applyConfig } = await import('./apply-config.js');
      await measure(files, await applyConfig<MeasureFlags>(command, context), context);
    });
};

async function measure(files: readonly string[], flags: MeasureFlags, context: CliContext): Promise<void> {
  if (flags.stars !== undefined && files.length > 1) {
    throw new UsageError(
      '--stars takes the list of one frame, and several were named.',
      'Name one file, or call the command once for each.',
    );
  }
  if (flags.stars !== undefined) {
    if (!/\.(ecsv|csv)$/i.test(flags.stars)) {
      throw new UsageError(
        `--stars ${flags.stars}: the ending says what to write, and this one is not known.`,
        'End the name in .ecsv or .csv.',
      );
    }
    const { checkOutput } = await import('./write-output.js');
    checkOutput(resolve(context.cwd, flags.stars));
  }
  const [{ defaultFrameOptions }, { measureFrame }, { frameJson, frameText, safeText }, { toErrorRecord }] =
    await Promise.all([
      import('../field/index.js'),
      import('../field/frame/index.js'),
      import('../report/index.js'),
      import('../errors.js'),
    ]);
  let measured = 0;
  for (const file of files) {
    // Measuring holds the thread: between two frames it listens for Ctrl-C.
    await setImmediate();
    context.signal.throwIfAborted();
    const job: FrameJob = {
      path: resolve(context.cwd, file),
      file: basename(file),
      options: { ...defaultFrameOptions, ...frameOptionsOf(flags), anyKind: true },
    };
    try {
      const outcome = await measureFrame(job);
      if ('outcome' in outcome) continue;
      measured++;
      context.out(
        flags.json ? `${JSON.stringify(frameJson(outcome.frame))}\n` : `${frameText(outcome.frame)}\n`,
      );
      if (flags.stars !== undefined) await writeStars(outcome, flags.stars, context);
    } catch (error) {
      const record = toErrorRecord(error, file);
      context.note(`${safeText(record.message)}\n  ${safeText(record.remedy)}\n`);
      if (record.code === 'usage') throw error;
    }
  }
  if (measured === 0) context.setExitCode(3);
}

async function writeStars(
  outcome: {
    readonly frame: FrameAssessment;
    readonly table: StarTable;
  },
  file: string,
  context: CliContext,
): Promise<void> {
  const [{ starListCsv, starListEcsv }, { writeOutput }] = await Promise.all([
    import('../stars/index.js'),
    import('./write-output.js'),
  ]);
  const { scale, image } = outcome.frame;
  const listed = { scaleArcsecPerPx: scale?.arcsecPerPx ?? null, origin: image.origin };
  const list = /\.csv$/i.test(file)
    ? starListCsv(outcome.table, listed)
    : starListEcsv(outcome.table, listed);
  writeOutput(resolve(context.cwd, file), list);
  context.note(`${outcome.table.count} stars written to ${file}\n`);
}
