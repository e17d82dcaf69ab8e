import { Option } from 'commander';
import type { PaletteName } from '../report/index.js';
import { assessPaths } from './assess-paths.js';
import type { CliContext, RegisterCommand } from './context.js';
import { addFrameOptions, wholeNumber, type FrameFlags } from './frame-options.js';
import { addHistoryOptions, historyReader, type HistoryFlags } from './history-options.js';
import { addInwardOption, type InwardFlag } from './inward-option.js';
import { addLimitOptions, limitsOf, type LimitFlags } from './limit-options.js';

interface ReviewFlags extends FrameFlags, InwardFlag, LimitFlags, HistoryFlags {
  readonly port?: number;
  readonly palette?: PaletteName;
}

const examples = `
Examples:
  starassay review night/                    prints an address: open it in a browser on this computer
  starassay review night/ --palette night    red on black, at the telescope
Decisions are kept in starassay-decisions.json beside the subs, and \`starassay cull\` honours them.`;

/** `starassay review`: look through the frames in a browser, see the evidence, overrule a decision. */
export const registerReview: RegisterCommand = (program, context) => {
  const command = program
    .command('review')
    .description('look through the subs in a browser, see the evidence, overrule a decision')
    .argument('<path...>', 'files and folders of FITS subs')
    .addOption(
      new Option('--port <number>', 'port to serve at (default: any free one)').argParser(wholeNumber),
    )
    .addOption(
      new Option('--palette <name>', 'colours the page opens with').choices(['light', 'dark', 'night']),
    );
  addLimitOptions(command);
  addHistoryOptions(addInwardOption(addFrameOptions(command)))
    .addHelpText('after', examples)
    .action(async (paths: string[]) => {
      const { applyConfig } = await import('./apply-config.js');
      await review(paths, await applyConfig<ReviewFlags>(command, context), context);
    });
};

async function review(paths: readonly string[], flags: ReviewFlags, context: CliContext): Promise<void> {
  const [{ concludeNight }, { readDecisions, recordDecision }, { serveReview }] = await Promise.all([
    import('../assess-night.js'),
    import('../night/index.js'),
    import('../report/review/index.js'),
  ]);
  let night = await assessPaths(paths, flags, 'corners', context, limitsOf(flags));
  if (night.frames.length === 0) {
    context.note('No frame could be measured.\n');
    context.setExitCode(3);
    return;
  }
  const history = (await historyReader(flags, context))?.(night.frames) ?? null;
  const measured = { frames: night.frames, unreadable: night.unreadable, setAside: night.setAside };
  const server = await serveReview(
    {
      night: () => night,
      decide: (file, decision) => {
        const frame = measured.frames.find((entry) => entry.file === file)!;
        recordDecision(frame.path, decision);
        night = concludeNight(measured, night.limits, readDecisions(measured.frames), history, flags.inward);
        return night;
      },
    },
    { pictures: true, port: flags.port, palette: flags.palette },
  );
  context.out(`${server.url}\n`);
  context.note('Open this address in a browser on this computer (it works once). Ctrl-C ends.\n');
  await ended(context.signal);
  await server.close();
}

function ended(signal: AbortSignal): Promise<void> {
  if (signal.aborted) return Promise.resolve();
  return new Promise((resolve) => signal.addEventListener('abort', () => resolve(), { once: true }));
}
