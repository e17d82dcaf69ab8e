import { resolve } from 'node:path';
import { UsageError } from '../errors.js';
import { rigCompareText, rigListText, rigStatusText, rigTrendText } from '../report/rig/index.js';
import {
  findNote,
  findRig,
  listRigs,
  rangesAroundNote,
  rigCompare,
  rigStatus,
  rigTrends,
} from '../rig/index.js';
import type { CliContext } from './context.js';
import { eveningDate, eveningRange, numberOf, withStore, type RigFlags } from './rig-flags.js';
import { writeOutput } from './write-output.js';

/** `rig list`. */
export async function showRigs(flags: RigFlags, context: CliContext): Promise<void> {
  const rigs = await withStore(flags, context, 'read', listRigs);
  context.out(flags.json ? json({ schema: 'starassay/rig-list@1', rigs }) : rigListText(rigs, context));
}

/** `rig status`. */
export async function showStatus(
  name: string | undefined,
  flags: RigFlags,
  context: CliContext,
): Promise<void> {
  const status = await withStore(flags, context, 'read', (store) => rigStatus(store, findRig(store, name)));
  context.out(flags.json ? json(status) : rigStatusText(status, context));
  if (flags.failOn && status.metrics.some((metric) => metric.state === flags.failOn)) context.setExitCode(1);
}

/** `rig trend`. */
export async function showTrend(
  name: string | undefined,
  flags: RigFlags,
  context: CliContext,
): Promise<void> {
  const range = {
    since: flags.since === undefined ? null : eveningDate(flags.since),
    until: flags.until === undefined ? null : eveningDate(flags.until),
    filter: flags.filter ?? null,
  };
  const trends = await withStore(flags, context, 'read', (store) =>
    rigTrends(store, findRig(store, name), flags.metric ?? [], range),
  );
  if (flags.report !== undefined) {
    const { rigPage } = await import('../report/rig/page/index.js');
    writeOutput(
      resolve(context.cwd, flags.report),
      rigPage(trends, flags.palette ?? (await configuredPalette(context))),
    );
    context.note(`wrote ${flags.report}\n`);
  }
  context.out(flags.json ? json(trends) : rigTrendText(trends, context));
}

/** Of the configuration only the colours count here: `report` or `since` there are meant for other commands. */
async function configuredPalette(context: CliContext): Promise<RigFlags['palette']> {
  const { loadConfig } = await import('./config.js');
  const wanted = (await loadConfig(context.cwd, context.env)).get('palette')?.value;
  return (['light', 'dark', 'night'] as const).find((name) => name === wanted);
}

/** `rig compare`. */
export async function showComparison(
  name: string | undefined,
  flags: RigFlags,
  context: CliContext,
): Promise<void> {
  const comparison = await withStore(flags, context, 'read', (store) => {
    const rig = findRig(store, name);
    const options = { metrics: flags.metric ?? [], filter: flags.filter ?? null };
    if (flags.note !== undefined) {
      if (flags.before !== undefined || flags.after !== undefined) {
        throw new UsageError(
          '--note and --before/--after exclude each other',
          'Give the note, or the two ranges.',
        );
      }
      const note = findNote(store, rig.id, numberOf(flags.note, '--note'));
      const { before, after } = rangesAroundNote(store, rig.id, note);
      return rigCompare(store, rig, before, after, { ...options, note });
    }
    if (flags.before === undefined || flags.after === undefined) {
      throw new UsageError(
        'nothing to compare was named',
        'Give --note NUMBER (`starassay rig note` lists them), or --before FROM..TO and --after FROM..TO.',
      );
    }
    return rigCompare(store, rig, eveningRange(flags.before), eveningRange(flags.after), options);
  });
  context.out(flags.json ? json(comparison) : rigCompareText(comparison, context));
}

function json(value: unknown): string {
  return `${JSON.stringify(value, null, 1)}\n`;
}
