import { Option } from 'commander';
import { UsageError } from '../errors.js';
import type { CliContext, RegisterCommand } from './context.js';
import { addFrameOptions, positiveNumber, type FrameFlags } from './frame-options.js';
import { addSweepOptions, sweepOptionsOf, type SweepFlags } from './sweep-options.js';

interface Flags extends FrameFlags, SweepFlags {
  readonly json?: boolean;
  readonly report?: string;
  readonly reducerFocal?: number;
  readonly bareFocal?: number;
  readonly predict?: readonly number[];
  readonly record?: boolean;
  readonly rig?: string;
  readonly db?: string;
}

const examples = `
At each spacing take a focus sweep (see starassay sweep --help); two spacings 1 to 2 mm apart are enough, three tell whether
the line is straight. Spacings are in mm, counted from any face that stays the same.

Examples:
  starassay ladder 54.0=first/ 55.0=second/ 56.0=third/
  starassay ladder 54=a/ 56=b/ --report ladder.html          page with the line, the rungs, the corner stars
  starassay ladder 54=a/ 56=b/ --predict 54.8,55.2           corner stars to expect there
  starassay ladder 54=a/ 56=b/ --reducer-focal 275 --bare-focal 714   the image scale as a second witness
  starassay ladder 54=a/ 56=b/ --record --rig my-rig          remember the sensitivity for later advice`;

/** `starassay ladder`: the best spacing from sweeps at several spacings. */
export const registerLadder: RegisterCommand = (program, context) => {
  const command = program
    .command('ladder')
    .summary('sweeps at several spacings: the best spacing with its uncertainty')
    .description(
      'Find the best distance from corrector to sensor: medial curvature at several spacings, the line through it, its zero with the uncertainty; the image scale as a second witness.',
    )
    .argument('<mm=path...>', 'a spacing in mm and the frames taken at it');
  addSweepOptions(command);
  command
    .addOption(new Option('--reducer-focal <mm>', "the reducer's own focal length").argParser(positiveNumber))
    .addOption(
      new Option('--bare-focal <mm>', 'focal length of the telescope without it').argParser(positiveNumber),
    )
    .addOption(
      new Option('--predict <mm,...>', 'spacings at which the corner stars are wanted').argParser((text) =>
        text.split(',').map(positiveNumber),
      ),
    )
    .option('--json', 'one JSON document (schema starassay/ladder@1)')
    .option('--report <file>', 'also write a self-contained HTML page')
    .option('--record', "store the sensitivity in the rig's history")
    .option('--rig <name>', 'rig of the history (default: the only one)')
    .option('--db <file>', 'history file');
  addFrameOptions(command)
    .addHelpText('after', examples)
    .action(async (rungs: string[]) => {
      const { applyConfig } = await import('./apply-config.js');
      await ladder(rungs, await applyConfig<Flags>(command, context, NOT_CONFIGURED), context);
    });
};

async function ladder(texts: readonly string[], flags: Flags, context: CliContext): Promise<void> {
  const [
    { measuredFrames },
    { assessLadder, refuseSingleSpacing },
    { defaultSweepOptions },
    { ladderPage, ladderText },
    { checkOutput, writeOutput },
    { resolve },
  ] = await Promise.all([
    import('./measured-frames.js'),
    import('../night/ladder/index.js'),
    import('../night/sweep/index.js'),
    import('../report/ladder/index.js'),
    import('./write-output.js'),
    import('node:path'),
  ]);
  if (flags.report !== undefined) checkOutput(resolve(context.cwd, flags.report));
  const named = parseRungs(texts);
  refuseSingleSpacing([...named.keys()]);
  const rungs = [];
  for (const [spacingMm, paths] of named) {
    rungs.push({ spacingMm, frames: await measuredFrames(paths, flags, context) });
  }
  const assessment = assessLadder(
    rungs,
    { ...defaultSweepOptions, ...sweepOptionsOf(flags) },
    {
      reducerFocalMm: flags.reducerFocal ?? null,
      bareFocalMm: flags.bareFocal ?? null,
      predictAtMm: flags.predict ?? [],
    },
  );
  context.out(
    flags.json ? `${JSON.stringify(assessment, null, 2)}\n` : ladderText(assessment, context.columns),
  );
  if (flags.report !== undefined) {
    writeOutput(resolve(context.cwd, flags.report), ladderPage(assessment));
    context.note(`page: ${flags.report}\n`);
  }
  if (flags.record) await record(assessment, flags, context);
}

/** `54.0=dir` texts as spacing -> paths; the same spacing may be named several times. Throws UsageError. */
export function parseRungs(texts: readonly string[]): Map<number, string[]> {
  const rungs = new Map<number, string[]>();
  for (const text of texts) {
    const at = text.indexOf('=');
    const spacing = at < 0 ? NaN : Number(text.slice(0, at).trim().replace(',', '.').replace(/mm$/i, ''));
    const path = text.slice(at + 1);
    if (!Number.isFinite(spacing) || at < 1 || path === '') {
      throw new UsageError(
        `ladder: "${text}" is no spacing with its frames`,
        'Write MM=PATH, for example 54.5=night/spacer54.5; a path with several files needs one entry for each.',
      );
    }
    rungs.set(spacing, [...(rungs.get(spacing) ?? []), path]);
  }
  return rungs;
}

/** `record: true` in the configuration is about nights; a ladder is stored when asked to. */
const NOT_CONFIGURED = ['record'];

async function record(
  ladderFound: {
    readonly sensitivityMicronPerMm: number | null;
    readonly sensitivityErrorMicronPerMm: number | null;
  },
  flags: Flags,
  context: CliContext,
): Promise<void> {
  const { sensitivityMicronPerMm: micronPerMm, sensitivityErrorMicronPerMm: error } = ladderFound;
  if (micronPerMm === null) {
    context.note('nothing recorded: the ladder gives no sensitivity\n');
    return;
  }
  const [{ findRig, recordSpacingSensitivity }, { withStore }] = await Promise.all([
    import('../rig/index.js'),
    import('./rig-flags.js'),
  ]);
  await withStore(flags, context, 'write', (store) => {
    const rig = findRig(store, flags.rig);
    recordSpacingSensitivity(store, rig.id, { micronPerMm, error });
    context.note(`recorded for ${rig.name}\n`);
  });
}
