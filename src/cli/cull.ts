import { Option } from 'commander';
import { resolve } from 'node:path';
import type { NightAssessment } from '../causes/types.js';
import { UsageError } from '../errors.js';
import { assessPaths } from './assess-paths.js';
import type { CliContext, RegisterCommand } from './context.js';
import { addFrameOptions, type FrameFlags } from './frame-options.js';
import { addHistoryOptions, type HistoryFlags } from './history-options.js';
import { addInwardOption, type InwardFlag } from './inward-option.js';
import { addLimitOptions, limitsOf, type LimitFlags } from './limit-options.js';

interface CullFlags extends FrameFlags, InwardFlag, LimitFlags, HistoryFlags {
  readonly json?: boolean;
  readonly csv?: boolean;
  readonly save?: readonly string[];
  readonly report?: string;
  readonly palette?: 'light' | 'dark' | 'night';
  readonly moveRejects?: string;
  readonly undo?: boolean;
  readonly yes?: boolean;
  readonly record?: boolean;
  readonly failOn?: 'reject' | 'unreadable' | 'cause';
}

const examples = `
Examples:
  starassay cull night/                          measure, decide, explain
  starassay cull night/ --report night.html      the same as a page with pictures
  starassay cull night/ --json > night.json      everything, for machines
  starassay cull night/ --max-elongation 1.2 --keep-best 80%
  starassay cull night/ --move-rejects night/rejects          what would move
  starassay cull night/ --move-rejects night/rejects --yes    move them
  starassay cull --move-rejects night/rejects --undo          bring them back`;

/** `starassay cull`: the main job. */
export const registerCull: RegisterCommand = (program, context) => {
  const command = program
    .command('cull')
    .description('sort the subs of a night into keep and reject, say why, and what to do at the telescope')
    .argument('[path...]', 'files and folders of FITS subs (folders are searched in depth)')
    .option('--json', 'one JSON document instead of the table')
    .option('--csv', 'one CSV row a frame instead of the table')
    .option(
      '--save <file>',
      'also write the result to FILE (.json or .csv); may be given twice',
      (file: string, all: string[] = []) => [...all, file],
    )
    .option(
      '--report <file>',
      'also write a self-contained HTML page with plots and pictures (pictures need the pixels: frames remembered from a run without them are measured again)',
    )
    .addOption(
      new Option('--palette <name>', 'colours the page opens with').choices(['light', 'dark', 'night']),
    );
  addLimitOptions(command);
  addHistoryOptions(addInwardOption(addFrameOptions(command)))
    .option('--move-rejects <folder>', 'move the rejected files there (shows what would move; --yes does it)')
    .option('--undo', 'with --move-rejects: bring moved files back, at once (nothing is ever overwritten)')
    .option('--yes', 'really move')
    .option('--record', 'remember the night in the rig’s history (`record: true` in starassay.yaml: always)')
    .option('--no-record', 'do not, whatever the configuration says')
    .addOption(
      new Option('--fail-on <what>', 'end with exit code 1 when there is one').choices([
        'reject',
        'unreadable',
        'cause',
      ]),
    )
    .addHelpText('after', examples)
    .action(async (paths: string[], _flags: unknown) => {
      const { applyConfig } = await import('./apply-config.js');
      const flags = await applyConfig<CullFlags>(command, context);
      if (flags.json && flags.csv) {
        throw new UsageError(
          '--json and --csv both want the standard output.',
          'Keep one, and give the other to --save FILE.',
        );
      }
      if (flags.yes && flags.moveRejects === undefined) {
        throw new UsageError(
          '--yes confirms a move, and none was asked for.',
          'Add --move-rejects FOLDER, or leave --yes out.',
        );
      }
      if (flags.undo) return undo(flags, context);
      await cull(paths, flags, context);
    });
};

async function cull(paths: readonly string[], flags: CullFlags, context: CliContext): Promise<void> {
  await checkOutputs(flags, context);
  const pictures = flags.report === undefined ? 'none' : 'corners';
  const night = await assessPaths(paths, flags, pictures, context, limitsOf(flags));
  await print(night, flags, context);
  await write(night, flags, context);
  if (flags.moveRejects !== undefined) await move(night, flags, context);
  if (flags.record) await record(night, flags, context);

  if (night.frames.length === 0) context.setExitCode(3);
  else if (needsAttention(night, flags.failOn)) context.setExitCode(1);
}

/** Measuring takes minutes: a name that cannot be written to is refused before. */
async function checkOutputs(flags: CullFlags, context: CliContext): Promise<void> {
  const { checkOutput } = await import('./write-output.js');
  for (const file of flags.save ?? []) {
    if (!/\.(json|csv)$/i.test(file)) {
      throw new UsageError(
        `--save ${file}: the ending says what to write, and this one is not known.`,
        'End the name in .json or .csv.',
      );
    }
    checkOutput(resolve(context.cwd, file));
  }
  if (flags.report !== undefined) checkOutput(resolve(context.cwd, flags.report));
}

async function print(night: NightAssessment, flags: CullFlags, context: CliContext): Promise<void> {
  const { nightCsv, nightJson, nightSummary, nightTable, safeText } = await import('../report/index.js');
  for (const { file, kind } of night.setAside)
    context.note(safeText(`${file}: set aside, its header says ${kind}\n`));
  for (const { error } of night.unreadable)
    context.note(safeText(`${error.message}\n  ${error.remedy}`) + '\n');
  for (const warning of night.warnings) context.note(safeText(`warning: ${warning}`) + '\n');
  if (flags.json) context.out(`${JSON.stringify(nightJson(night), null, 2)}\n`);
  else if (flags.csv) context.out(nightCsv(night));
  else {
    const style = { columns: context.columns, color: context.color };
    context.out(`${nightTable(night, style)}\n\n${nightSummary(night, style)}\n`);
  }
}

async function write(night: NightAssessment, flags: CullFlags, context: CliContext): Promise<void> {
  const [{ nightCsv, nightJson }, { writeOutput }] = await Promise.all([
    import('../report/index.js'),
    import('./write-output.js'),
  ]);
  for (const file of flags.save ?? []) {
    const content = /\.csv$/i.test(file) ? nightCsv(night) : `${JSON.stringify(nightJson(night), null, 2)}\n`;
    writeOutput(resolve(context.cwd, file), content);
  }
  if (flags.report !== undefined) {
    const [{ nightPage }, { groupAtlases }] = await Promise.all([
      import('../report/page/index.js'),
      import('../report/pictures/index.js'),
    ]);
    const options = { palette: flags.palette, pictures: true, groupAtlases: await groupAtlases(night) };
    writeOutput(resolve(context.cwd, flags.report), nightPage(night, options));
    context.note(`page written to ${flags.report}\n`);
  }
}

async function record(night: NightAssessment, flags: CullFlags, context: CliContext): Promise<void> {
  if (night.frames.length === 0) return;
  const [{ recordNight }, { withStore }, { recordedText }, { safeText }] = await Promise.all([
    import('../rig/index.js'),
    import('./rig-flags.js'),
    import('./rig-record.js'),
    import('../report/index.js'),
  ]);
  const text = await withStore(flags, context, 'write', (store) =>
    recordedText(store, recordNight(store, night)),
  );
  context.note(`recorded: ${safeText(text)}\n`);
}

async function move(night: NightAssessment, flags: CullFlags, context: CliContext): Promise<void> {
  const [{ carryOutMoves, planMoves }, { movesText }] = await Promise.all([
    import('../night/index.js'),
    import('../report/index.js'),
  ]);
  const plan = await planMoves(night.frames, resolve(context.cwd, flags.moveRejects!));
  const outcome = flags.yes ? await carryOutMoves(plan) : null;
  // The list is a result, but stdout may already hold a document for a machine.
  const say = flags.json || flags.csv ? context.note : context.out;
  say(movesText(plan, outcome));
}

async function undo(flags: CullFlags, context: CliContext): Promise<void> {
  if (flags.moveRejects === undefined) {
    throw new UsageError(
      '--undo needs to know where the files were moved to.',
      'Add --move-rejects FOLDER with the folder that you moved them to.',
    );
  }
  const [{ undoMoves }, { undoText }] = await Promise.all([
    import('../night/index.js'),
    import('../report/index.js'),
  ]);
  const outcome = await undoMoves(resolve(context.cwd, flags.moveRejects));
  context.out(undoText(outcome));
}

function needsAttention(night: NightAssessment, failOn: CullFlags['failOn']): boolean {
  if (failOn === 'reject') return night.frames.some((frame) => frame.decision === 'reject');
  if (failOn === 'unreadable') return night.unreadable.length > 0;
  if (failOn === 'cause') return night.night.causes.some((cause) => cause.confidence >= 0.5);
  return false;
}
