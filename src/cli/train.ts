import { Option, type Command } from 'commander';
import { UsageError } from '../errors.js';
import type { TrainReport } from '../report/train/index.js';
import type { CliContext, RegisterCommand } from './context.js';
import { positiveNumber } from './frame-options.js';

interface TrainFlags {
  readonly measured?: string;
  readonly at?: number;
  readonly json?: boolean;
  readonly svg?: string;
  readonly example?: boolean;
  readonly threads?: boolean;
}

/** `starassay train`: the arithmetic of an imaging train. */
export const registerTrain: RegisterCommand = (program: Command, context: CliContext): void => {
  const train = program
    .command('train')
    .summary('back-focus arithmetic of an imaging train: which spacers close the gap')
    .description(
      'Add up an imaging train (YAML or JSON): its length against what the corrector asks for, the glass in the path, the joints, the light cone, and the spacers and shims of your box that bring it to length.',
    )
    .argument('[file]', 'train file; - reads standard input')
    .option(
      '--measured <mm|file>',
      'spacing error measured on the sky: mm (positive: sensor too far away), or a saved `ladder --json` or `sweep --json`',
    )
    .addOption(
      new Option(
        '--at <mm>',
        'with a ladder: the spacing of this train as the ladder counts it (default: its length)',
      ).argParser(positiveNumber),
    )
    .option('--svg <file>', 'draw the train to scale into an SVG file')
    .option('--json', 'one JSON document (schema starassay/train@1)')
    .option('--example', 'print a complete train file to start from')
    .option('--threads', 'list the threads and barrels that are known')
    .addHelpText(
      'after',
      `
Examples:
  starassay train --example > my-train.yaml     a file to start from; change it to your parts
  starassay train my-train.yaml                 lengths, error, and what to add or take out
  starassay train my-train.yaml --measured -0.8 the ladder says 0.8 mm too short: which pieces?
  starassay train my-train.yaml --measured ladder.json --at 54.5   from starassay ladder ... --json
  starassay train my-train.yaml --svg train.svg a drawing to scale
  starassay train check my-train.yaml           joints, draw tubes, clamps and loads only`,
    )
    .action(async (file: string | undefined, flags: TrainFlags) => {
      if (flags.example) {
        const { trainExample } = await import('../optics/train/index.js');
        context.out(trainExample);
      } else if (flags.threads) {
        context.out(await threadList(context.columns));
      } else {
        await showTrain(file, flags, context);
      }
    });

  train
    .command('check')
    .description(
      'look a train over: joints that do not fit, draw tubes far out, clamps in a row, heavy loads, cut light',
    )
    .argument('<file>', 'train file; - reads standard input')
    .option('--json', 'one JSON document')
    .option('--fail-on <what>', 'exit with 1 when there are: faults, or cautions (or worse)')
    .addHelpText(
      'after',
      `
Examples:
  starassay train check my-train.yaml
  starassay train check my-train.yaml --fail-on faults`,
    )
    .action(async (file: string, flags: { json?: boolean; failOn?: string }, command: Command) => {
      if (flags.failOn !== undefined && !['faults', 'cautions'].includes(flags.failOn)) {
        throw new UsageError(`--fail-on ${flags.failOn}: not known`, 'Use faults or cautions.');
      }
      const { warnings, train: parsed } = await assayTrain(file, {}, context);
      const { warningText } = await import('../report/train/index.js');
      if (flags.json || command.parent?.opts<TrainFlags>().json) {
        context.out(
          `${JSON.stringify({ schema: 'starassay/train-check@1', name: parsed.name, warnings }, null, 2)}\n`,
        );
      } else {
        const lines = warningText(warnings, context.columns);
        context.out(`${lines.length > 0 ? lines.join('\n') : `${parsed.name}: nothing to complain about`}\n`);
      }
      const bad = warnings.some(
        (w) => w.severity === 'fault' || (flags.failOn === 'cautions' && w.severity === 'caution'),
      );
      if (flags.failOn !== undefined && bad) context.setExitCode(1);
    });
};

async function showTrain(file: string | undefined, flags: TrainFlags, context: CliContext): Promise<void> {
  if (file === undefined) {
    throw new UsageError(
      'train: no train file named',
      '`starassay train --example > my-train.yaml` makes one to start from.',
    );
  }
  const report = await assayTrain(file, flags, context);
  if (flags.svg !== undefined) {
    const { resolve } = await import('node:path');
    const { trainSvg } = await import('../report/train/index.js');
    const { writeOutput } = await import('./write-output.js');
    writeOutput(resolve(context.cwd, flags.svg), trainSvg(report));
    context.note(`drawing: ${flags.svg}\n`);
  }
  if (flags.json) {
    const { trainJson } = await import('../report/train/index.js');
    context.out(`${JSON.stringify(trainJson(report), null, 2)}\n`);
  } else {
    const { trainText } = await import('../report/train/index.js');
    context.out(trainText(report, context.columns));
  }
}

async function assayTrain(
  file: string,
  flags: Pick<TrainFlags, 'measured' | 'at'>,
  context: CliContext,
): Promise<TrainReport> {
  const { parseTrain, sumTrain, checkVignetting, checkTrain, adviseSpacing } =
    await import('../optics/train/index.js');
  const train = parseTrain(await readTrainFile(file, context), file === '-' ? 'standard input' : file);
  const sum = sumTrain(train);
  const measured =
    flags.measured === undefined ? null : await measuredError(flags.measured, flags.at, sum.totalMm, context);
  return {
    train,
    sum,
    vignetting: checkVignetting(train, sum),
    warnings: checkTrain(train),
    advice: adviseSpacing(train, measured),
  };
}

/** What `--measured` says, mm; a file is named on stderr with what it means for this train. */
async function measuredError(
  text: string,
  atMm: number | undefined,
  totalMm: number,
  context: CliContext,
): Promise<number> {
  const [{ measuredFromDocument, measuredMm }, { readInput }] = await Promise.all([
    import('./measured-spacing.js'),
    import('./read-input.js'),
  ]);
  const direct = measuredMm(text);
  if (direct !== null) return direct;
  const content = await readInput(
    text,
    '--measured wants a number of mm (-0.8: sensor 0.8 mm too close), or a saved `starassay ladder ... --json`.',
    context,
  );
  const { errorMm, source } = measuredFromDocument(content, text, atMm ?? null, totalMm);
  context.note(`${source}\n`);
  return errorMm;
}

async function readTrainFile(file: string, context: CliContext): Promise<string> {
  if (file === '-') return context.readStdin();
  const [{ readFile, stat }, { resolve }] = await Promise.all([
    import('node:fs/promises'),
    import('node:path'),
  ]);
  const path = resolve(context.cwd, file);
  try {
    if ((await stat(path)).size > 1_000_000) {
      throw new UsageError(
        `${file}: over 1 MB, this is no train file`,
        'Name a YAML or JSON file of the train.',
        file,
      );
    }
    return await readFile(path, 'utf8');
  } catch (error) {
    if (error instanceof UsageError) throw error;
    const reason = error instanceof Error ? error.message : String(error);
    throw new UsageError(
      `${file}: cannot be read (${reason})`,
      '`starassay train --example > my-train.yaml` makes a train file to start from.',
      file,
    );
  }
}

async function threadList(columns: number | null): Promise<string> {
  const [{ jointStandards }, { wrapLines }] = await Promise.all([
    import('../optics/train/index.js'),
    import('../report/index.js'),
  ]);
  const lines = jointStandards.map((joint) => {
    const names = [joint.name, ...joint.aliases].join(', ');
    return `${names.padEnd(44)} ${joint.note}`;
  });
  lines.push(
    '',
    'Any metric thread may be written M<diameter>x<pitch>; a train file adds others under "threads:".',
  );
  return `${wrapLines(lines.join('\n'), columns)}\n`;
}
