import { UsageError } from '../errors.js';
import { findRig, mergeRigs, nameRig, splitRig } from '../rig/index.js';
import type { CliContext } from './context.js';
import { eveningDate, withStore, type RigFlags } from './rig-flags.js';

/** `rig name`. */
export async function renameRig(
  wanted: string,
  name: string,
  flags: RigFlags,
  context: CliContext,
): Promise<void> {
  await withStore(flags, context, 'write', (store) => {
    const rig = findRig(store, wanted);
    nameRig(store, rig.id, name);
    context.out(`"${rig.name}" is now called "${name.trim()}"\n`);
  });
}

/** `rig merge`. */
export async function joinRigs(
  keep: string,
  other: string,
  flags: RigFlags,
  context: CliContext,
): Promise<void> {
  await withStore(flags, context, 'write', (store) => {
    const [stays, goes] = [findRig(store, keep), findRig(store, other)];
    mergeRigs(store, stays.id, goes.id);
    context.out(
      `the nights of "${goes.name}" now count as "${stays.name}"; undo: starassay rig split ${stays.id} --merged ${goes.id}\n`,
    );
  });
}

/** `rig split`. */
export async function divideRig(wanted: string, flags: RigFlags, context: CliContext): Promise<void> {
  const dates = {
    since: flags.since && eveningDate(flags.since),
    until: flags.until && eveningDate(flags.until),
  };
  const choice = {
    ...(flags.train !== undefined && { trainKey: flags.train }),
    ...(dates.since && { since: dates.since }),
    ...(dates.until && { until: dates.until }),
    ...(flags.merged !== undefined && { mergedRig: flags.merged }),
  };
  if (Object.keys(choice).length === 0) {
    throw new UsageError(
      'which nights shall go is not said',
      'Give --train, --since or --until, or --merged to undo a merge.',
    );
  }
  if (flags.merged === undefined && (flags.name ?? '').trim() === '') {
    throw new UsageError('the new rig has no name', 'Give --name "what to call it".');
  }
  await withStore(flags, context, 'write', (store) => {
    const rig = findRig(store, wanted);
    const { rigId, nights } = splitRig(store, rig.id, choice, flags.name ?? '');
    context.out(`${nights} nights of "${rig.name}" now belong to ${flags.name ?? flags.merged} (${rigId})\n`);
  });
}
