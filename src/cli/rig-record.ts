import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { UsageError } from '../errors.js';
import { notesText } from '../report/rig/index.js';
import {
  addNote,
  findNote,
  findRig,
  listNotes,
  listRigs,
  parseNightDocument,
  recordNight,
  removeNote,
  type Recorded,
  type RecordableNight,
} from '../rig/index.js';
import type { CliContext } from './context.js';
import { eveningDate, numberOf, withStore, type RigFlags } from './rig-flags.js';

/** `rig record`: all documents are read before the first is stored, so that a typing error in the last name stores nothing. */
export async function recordDocuments(
  documents: readonly string[],
  flags: RigFlags,
  context: CliContext,
): Promise<void> {
  const nights: { name: string; night: RecordableNight }[] = [];
  for (const name of documents) {
    const content = name === '-' ? await context.readStdin() : readDocument(resolve(context.cwd, name));
    const label = name === '-' ? 'standard input' : name;
    nights.push({ name: label, night: parseNightDocument(content, label) });
  }
  withStore(flags, context, 'write', (store) => {
    const results = nights.map(({ name, night }) => ({ name, ...recordNight(store, night) }));
    if (flags.json) {
      context.out(`${JSON.stringify({ schema: 'starassay/rig-record@1', documents: results }, null, 1)}\n`);
      return;
    }
    const names = new Map(listRigs(store).map((rig) => [rig.id, rig.name]));
    for (const { name, ...result } of results) {
      context.out(`${name}: ${recordedText(result, names)}\n`);
      if (result.undated.length > 0) {
        context.note(`${name}: ${result.undated.length} subs without a date were left out\n`);
      }
    }
  });
}

function recordedText({ nights, added, updated }: Recorded, names: ReadonlyMap<string, string>): string {
  if (nights.length === 0) return 'nothing to record';
  const places = nights.map((night) => `${night.date} of ${names.get(night.rigId) ?? night.rigId}`);
  return `${added} new and ${updated} known subs, ${places.join('; ')}`;
}

function readDocument(path: string): string {
  try {
    return readFileSync(path, 'utf8');
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code ?? 'unknown reason';
    throw new UsageError(
      `${path} cannot be read (${code})`,
      'Give a document saved by `starassay cull NIGHT --json`.',
      path,
    );
  }
}

/** `rig note`: log, remove, or list. */
export function logNote(
  date: string | undefined,
  text: string | undefined,
  flags: RigFlags,
  context: CliContext,
): void {
  const listing = date === undefined && flags.remove === undefined;
  withStore(flags, context, listing ? 'read' : 'write', (store) => {
    const rig = findRig(store, flags.rig);
    if (flags.remove !== undefined) {
      const note = findNote(store, rig.id, numberOf(flags.remove, '--remove'));
      removeNote(store, note);
      context.out(`removed: ${note.date} ${note.text}\n`);
      return;
    }
    if (date === undefined) {
      const notes = listNotes(store, rig.id);
      context.out(flags.json ? `${JSON.stringify({ rig, notes }, null, 1)}\n` : notesText(notes, context));
      return;
    }
    if (text === undefined) {
      throw new UsageError('the note says nothing', 'Write: starassay rig note DATE "what was changed".');
    }
    const spacingMm = flags.spacing === undefined ? null : numberOf(flags.spacing, '--spacing');
    addNote(store, rig.id, { date: eveningDate(date), text, spacingMm });
    context.out(notesText(listNotes(store, rig.id), context));
  });
}
