import { Option, type Command } from 'commander';
import type { CliContext, RegisterCommand } from './context.js';
import type { RigFlags } from './rig-flags.js';

/** `starassay rig ...`: the history of a rig over months. */
export const registerRig: RegisterCommand = (program, context) => {
  const rig = program
    .command('rig')
    .summary('the rig over months: record, status, trends, notes, before and after')
    .description(
      'The history of your rigs: what each night said about tilt, spacing, guiding and focus, and what changed when.\nNights get in with `starassay cull NIGHT --record`. The history is one file in your data folder; --db names another.',
    )
    .addHelpText(
      'after',
      `
Examples:
  starassay rig status                                   one glance: what left its normal range, since when
  starassay rig trend --report rig.html                  every figure over months as a page
  starassay rig note 2026-03-04 "spacer 0.5 mm added" --spacing 0.5
  starassay rig compare --note 1                         what that change did
  starassay rig name "Marsh 106" "garden refractor"
  starassay rig export > history.jsonl                   for another computer: rig import history.jsonl`,
    );
  addRecord(rig, context);
  addShow(rig, context);
  addRigs(rig, context);
  addExchange(rig, context);
};

function addRecord(rig: Command, context: CliContext): void {
  withDb(rig.command('record'))
    .argument(
      '<document...>',
      'night documents saved by `cull --json`, or a simulated rig-year; - reads standard input',
    )
    .description('record saved night documents; frames known already are updated, never doubled')
    .option('--json', 'one JSON document about what was recorded')
    .addHelpText(
      'after',
      `
Examples:
  starassay rig record nights/*.json
  starassay cull night/ --json | starassay rig record -`,
    )
    .action(async (documents: string[], flags: RigFlags) => {
      const { recordDocuments } = await import('./rig-record.js');
      await recordDocuments(documents, flags, context);
    });
  withDb(rig.command('note'))
    .argument('[date]', 'first evening that the change counts for, YYYY-MM-DD, or today')
    .argument('[text]', 'what was changed')
    .description('log a change of a rig; without arguments, list the notes')
    .option('--rig <name>', 'which rig, where there are several')
    .option('--spacing <mm>', 'spacing added (+) or removed (-), mm: teaches the spacing advice')
    .option('--remove <number>', 'take a note out again')
    .option('--json', 'list the notes as JSON')
    .addHelpText(
      'after',
      `
Examples:
  starassay rig note today "collimated"
  starassay rig note 2026-03-04 "spacer 0.5 mm added" --spacing 0.5 --rig "garden refractor"
  starassay rig note                                     the notes with their numbers
  starassay rig note --remove 2`,
    )
    .action(async (date: string | undefined, text: string | undefined, flags: RigFlags) => {
      const { logNote } = await import('./rig-record.js');
      await logNote(date, text, flags, context);
    });
}

function addShow(rig: Command, context: CliContext): void {
  withDb(rig.command('list'))
    .description('the rigs of the history, with their trains, nights and subs')
    .option('--json', 'one JSON document')
    .addHelpText('after', '\nExamples:\n  starassay rig list\n  starassay rig list --db other.sqlite --json')
    .action(async (flags: RigFlags) => {
      const { showRigs } = await import('./rig-show.js');
      await showRigs(flags, context);
    });
  withDb(rig.command('status'))
    .argument('[rig]', 'name or id; not needed where there is only one')
    .description('what is normal, what left its normal range, since when, after which note')
    .option('--json', 'one JSON document (schema starassay/rig-status@1)')
    .addOption(
      new Option('--fail-on <state>', 'end with exit code 1 when a figure is in that state').choices([
        'left',
        'drifting',
        'last-night',
      ]),
    )
    .addHelpText(
      'after',
      '\nExamples:\n  starassay rig status\n  starassay rig status "garden refractor" --fail-on left',
    )
    .action(async (name: string | undefined, flags: RigFlags) => {
      const { showStatus } = await import('./rig-show.js');
      await showStatus(name, flags, context);
    });
  withRange(withDb(rig.command('trend')))
    .argument('[rig]', 'name or id; not needed where there is only one')
    .description(
      'each figure over months: slope with its interval, significance, changes found without being told',
    )
    .option('--report <file>', 'write a page with a panel for each figure')
    .addOption(
      new Option('--palette <name>', 'colours the page opens with').choices(['light', 'dark', 'night']),
    )
    .option('--json', 'one JSON document (schema starassay/rig-trend@1)')
    .addHelpText(
      'after',
      `
Examples:
  starassay rig trend
  starassay rig trend --metric tilt --metric curvature --since 2026-01-01
  starassay rig trend "garden refractor" --since 6m --report rig.html`,
    )
    .action(async (name: string | undefined, flags: RigFlags) => {
      const { showTrend } = await import('./rig-show.js');
      await showTrend(name, flags, context);
    });
  withMetrics(withDb(rig.command('compare')))
    .argument('[rig]', 'name or id; not needed where there is only one')
    .description('before and after a change: what moved, by how much, how surely')
    .option(
      '--note <number>',
      'around this note (see `rig note`), from the note before it to the one after it',
    )
    .option('--before <range>', 'first range of evenings, FROM..TO; either end may be left out')
    .option('--after <range>', 'second range of evenings')
    .option('--json', 'one JSON document (schema starassay/rig-compare@1)')
    .addHelpText(
      'after',
      `
Examples:
  starassay rig compare --note 2
  starassay rig compare --before ..2026-02-28 --after 2026-03-01.. --metric tilt`,
    )
    .action(async (name: string | undefined, flags: RigFlags) => {
      const { showComparison } = await import('./rig-show.js');
      await showComparison(name, flags, context);
    });
}

function addRigs(rig: Command, context: CliContext): void {
  withDb(rig.command('name'))
    .argument('<rig>', 'name or id')
    .argument('<name>', 'new name')
    .description('give a rig a name')
    .addHelpText('after', '\nExamples:\n  starassay rig name "Marsh 106" "garden refractor"')
    .action(async (wanted: string, name: string, flags: RigFlags) => {
      const { renameRig } = await import('./rig-arrange.js');
      await renameRig(wanted, name, flags, context);
    });
  withDb(rig.command('merge'))
    .argument('<rig>', 'the rig that stays')
    .argument('<other>', 'the rig whose nights and notes go to it')
    .description('count two rigs as one (headers written differently); `rig split --merged` undoes it')
    .addHelpText('after', '\nExamples:\n  starassay rig merge "garden refractor" "530 mm"')
    .action(async (keep: string, other: string, flags: RigFlags) => {
      const { joinRigs } = await import('./rig-arrange.js');
      await joinRigs(keep, other, flags, context);
    });
  withDb(rig.command('split'))
    .argument('<rig>', 'name or id')
    .description('take a train, or the nights of a time, out of a rig into one of its own')
    .option('--train <key>', 'a train as `rig list` shows it; its future nights go along')
    .option('--since <date>', 'nights from this evening on')
    .option('--until <date>', 'nights up to this evening')
    .option('--merged <rig>', 'undo a merge: take out this rig')
    .option('--name <name>', 'name of the new rig')
    .addHelpText(
      'after',
      `
Examples:
  starassay rig split "garden refractor" --train 773e01c5d2@91 --name "turned camera"
  starassay rig split "garden refractor" --since 2026-05-01 --name "new corrector"
  starassay rig split "garden refractor" --merged "530 mm"`,
    )
    .action(async (wanted: string, flags: RigFlags) => {
      const { divideRig } = await import('./rig-arrange.js');
      await divideRig(wanted, flags, context);
    });
}

function addExchange(rig: Command, context: CliContext): void {
  withDb(rig.command('export'))
    .description('write the whole history as JSON Lines (for `rig import`), or a table as CSV')
    .addOption(new Option('--csv <table>', 'a CSV table instead').choices(['nights', 'frames']))
    .option('--out <file>', 'write to a file instead of standard output')
    .addHelpText(
      'after',
      '\nExamples:\n  starassay rig export --out history.jsonl\n  starassay rig export --csv nights > nights.csv',
    )
    .action(async (flags: RigFlags) => {
      const { exportHistory } = await import('./rig-exchange.js');
      await exportHistory(flags, context);
    });
  withDb(rig.command('import'))
    .argument('<file>', 'JSON Lines written by `rig export`; - reads standard input')
    .description('merge the history of another computer into this one; again and again does no harm')
    .addHelpText('after', '\nExamples:\n  starassay rig import history.jsonl')
    .action(async (file: string, flags: RigFlags) => {
      const { importHistory } = await import('./rig-exchange.js');
      await importHistory(file, flags, context);
    });
  withDb(rig.command('backup'))
    .argument('<file>', 'new file')
    .description('write a complete copy of the history, while recording may go on')
    .addHelpText('after', '\nExamples:\n  starassay rig backup rigs-2026-03.sqlite')
    .action(async (file: string, flags: RigFlags) => {
      const { backupHistory } = await import('./rig-exchange.js');
      await backupHistory(file, flags, context);
    });
  withDb(rig.command('check'))
    .description('check the history file: integrity, references, figures')
    .option('--rebuild', 'work out all figures anew from the recorded frames')
    .option('--json', 'one JSON document')
    .addHelpText('after', '\nExamples:\n  starassay rig check\n  starassay rig check --rebuild')
    .action(async (flags: RigFlags) => {
      const { checkHistory } = await import('./rig-exchange.js');
      await checkHistory(flags, context);
    });
}

function withDb(command: Command): Command {
  return command.option(
    '--db <file>',
    'history file (default: rigs.sqlite in your data folder, or STARASSAY_DB)',
  );
}

function withMetrics(command: Command): Command {
  return command
    .option(
      '--metric <name>',
      'only this figure; may be given again (an unknown name lists them all)',
      (name: string, all: string[] = []) => [...all, ...name.split(',').map((part) => part.trim())],
    )
    .option('--filter <name>', 'only subs through this filter');
}

function withRange(command: Command): Command {
  return withMetrics(command)
    .option('--since <date>', 'first evening, YYYY-MM-DD, or an age: 90d, 6m, 2y')
    .option('--until <date>', 'last evening');
}
