import { basename, relative, resolve } from 'node:path';
import type { NightAssessment } from '../causes/types.js';
import { UsageError } from '../errors.js';
import type { FrameJob, FrameOutcome } from '../field/index.js';
import type { FrameAssessment } from '../field/types.js';
import type { RigHistory } from '../rig/types.js';
import type { CliContext, RegisterCommand } from './context.js';
import { addFrameOptions, frameOptionsOf, type FrameFlags } from './frame-options.js';
import { addHistoryOptions, historyReader, type HistoryFlags } from './history-options.js';
import { addInwardOption, type InwardFlag } from './inward-option.js';
import { addLimitOptions, limitsOf, type LimitFlags } from './limit-options.js';
import { unreadableSubs } from './unreadable-subs.js';

interface WatchFlags extends FrameFlags, InwardFlag, LimitFlags, HistoryFlags {
  readonly json?: boolean;
  readonly settle: string;
  readonly once?: boolean;
}

const examples = `
Examples:
  starassay watch /data/tonight            a line for each sub as it lands; Ctrl-C ends with the night's summary
  starassay watch /data/tonight --json     one JSON line a sub, for a script at the mount`;

/** A cause is announced when it first reaches this confidence. */
const announceAt = 0.6;

/** `starassay watch`: the same while the night runs. */
export const registerWatch: RegisterCommand = (program, context) => {
  const command = program
    .command('watch')
    .description('measure each sub as it lands in a folder, and say at once when something goes wrong')
    .argument('<folder>', 'folder that the subs are written to')
    .option('--json', 'one JSON line a sub')
    .option('--settle <seconds>', 'wait until a file has not grown for this long', '2')
    .option('--once', 'measure what is there, then end');
  addLimitOptions(command);
  addHistoryOptions(addInwardOption(addFrameOptions(command)))
    .addHelpText('after', examples)
    .action(async (folder: string) => {
      const { applyConfig } = await import('./apply-config.js');
      await watch(folder, await applyConfig<WatchFlags>(command, context), context);
    });
};

async function watch(folder: string, flags: WatchFlags, context: CliContext): Promise<void> {
  const settleMs = Number(flags.settle) * 1000;
  if (!(settleMs >= 0))
    throw new UsageError(
      `--settle ${flags.settle}: this is no number of seconds.`,
      'Give a number such as 2.',
    );
  const root = resolve(context.cwd, folder);
  const [
    { existsSync, statSync },
    { default: chokidar },
    { concludeNight },
    { defaultFrameOptions },
    pool,
    night,
    report,
  ] = await Promise.all([
    import('node:fs'),
    import('chokidar'),
    import('../assess-night.js'),
    import('../field/index.js'),
    import('../pool/index.js'),
    import('../night/index.js'),
    import('../report/index.js'),
  ]);
  if (!existsSync(root) || !statSync(root).isDirectory()) {
    throw new UsageError(
      `${folder}: ${existsSync(root) ? 'is a file, not a folder' : 'there is no such folder'}.`,
      'Name the folder that the capture program writes its subs to.',
      folder,
    );
  }
  const limits = { ...night.defaultLimits, ...limitsOf(flags) };
  const options = { ...defaultFrameOptions, ...frameOptionsOf(flags) };
  const runner = pool.createFrameRunner(flags.threads ?? 1);
  const lookUp = await historyReader(flags, context);
  let history: RigHistory | null | undefined;
  const frames: FrameAssessment[] = [];
  const unreadable = unreadableSubs(
    ({ error }) => context.note(report.safeText(`${error.message}\n  ${error.remedy}`) + '\n'),
    Math.max(10_000, 5 * settleMs),
  );
  const announced = new Set<string>();
  const conclude = (): NightAssessment =>
    concludeNight(
      { frames, unreadable: unreadable.list(), setAside: [] },
      limits,
      night.readDecisions(frames),
      history ?? null,
      flags.inward,
    );
  let underWay: Promise<void> = Promise.resolve();

  const take = async (path: string): Promise<void> => {
    const file = relative(root, path) || basename(path);
    try {
      const job: FrameJob = { path, file, options };
      const outcome: FrameOutcome = await runner.run(job);
      if (outcome.outcome === 'set-aside') {
        context.note(report.safeText(`${file}: set aside, its header says ${outcome.kind}`) + '\n');
        return;
      }
      unreadable.clear(file);
      // A file written again replaces its first version.
      const known = frames.findIndex((frame) => frame.file === file);
      if (known >= 0) frames.splice(known, 1);
      frames.push(outcome.frame);
      // The rig is known by its first sub, and stays the same through the night.
      if (history === undefined) history = lookUp?.(frames) ?? null;
      const latest = conclude();
      const judged = latest.frames.find((frame) => frame.file === file)!;
      context.out(
        flags.json
          ? `${JSON.stringify(report.frameJson(judged))}\n`
          : `${report.watchLine(judged, context.columns)}\n`,
      );
      for (const cause of latest.night.causes) {
        if (cause.answer !== 'found' || cause.confidence < announceAt || announced.has(cause.code)) continue;
        announced.add(cause.code);
        context.note(`\n${report.watchFinding(cause, context.columns)}\n\n`);
      }
    } catch (error) {
      const { toErrorRecord } = await import('../errors.js');
      const record = toErrorRecord(error, file);
      if (record.code !== 'cancelled') unreadable.add(file, record);
    }
  };

  const watcher = chokidar.watch(root, {
    awaitWriteFinish: settleMs > 0 ? { stabilityThreshold: settleMs, pollInterval: 200 } : false,
    ignored: (path, stats) => stats?.isFile() === true && !night.isFrameName(path),
  });
  const onFile = (path: string): void => {
    underWay = underWay.then(() => take(path));
  };
  watcher.on('add', onFile).on('change', onFile);
  await new Promise<void>((done) => {
    context.signal.addEventListener('abort', () => done(), { once: true });
    if (flags.once) watcher.on('ready', () => setTimeout(() => void drained().then(done), settleMs + 600));
    const drained = async (): Promise<void> => {
      let seen: Promise<void>;
      do {
        seen = underWay;
        await seen;
      } while (seen !== underWay);
    };
  });
  await watcher.close();
  await runner.close();
  unreadable.flush();
  if (frames.length > 0 && !flags.json) {
    context.out(`\n${report.nightSummary(conclude(), { columns: context.columns, color: context.color })}\n`);
  }
  if (frames.length === 0) context.setExitCode(3);
}
