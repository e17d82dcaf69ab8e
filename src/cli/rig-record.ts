import { UsageError } from '../errors.js';
import { safeText } from '../report/index.js';
import { notesText } from '../report/rig/index.js';
import {
  addNote,
  findNote,
  findRig,
  listNotes,
  listRigs,
  recordNight,
  removeNote,
  type Recorded,
  type RecordableNight,
  type RigStore,
} from '../rig/index.js';
import { parseNightDocument, parseSimulatedYear, type SimulatedYear } from '../rig/documents/index.js';
import type { CliContext } from './context.js';
import { readInput } from './read-input.js';
import { eveningDate, numberOf, withStore, type RigFlags } from './rig-flags.js';

interface Readable {
  readonly name: string;
  readonly nights: readonly RecordableNight[];
  readonly notes: SimulatedYear['notes'];
}

/** `rig record`: all documents are read before the first is stored, so that a typing error in the last name stores nothing. */
export async function recordDocuments(
  documents: readonly string[],
  flags: RigFlags,
  context: CliContext,
): Promise<void> {
  const readable: Readable[] = [];
  for (const name of documents) {
    const content = await readInput(name, 'Give a document saved by `starassay cull NIGHT --json`.', context);
    readable.push(nightsOf(content, name === '-' ? 'standard input' : name));
  }
  await withStore(flags, context, 'write', (store) => {
    const results = readable.map(({ name, nights, notes }) => {
      const recorded = nights.map((night) => recordNight(store, night));
      const rigId = recorded[0]?.nights[0]?.rigId;
      if (rigId !== undefined) addMissingNotes(store, rigId, notes);
      return {
        name,
        nights: recorded.flatMap((one) => one.nights),
        added: recorded.reduce((sum, one) => sum + one.added, 0),
        updated: recorded.reduce((sum, one) => sum + one.updated, 0),
        undated: recorded.flatMap((one) => one.undated),
      };
    });
    if (flags.json) {
      context.out(`${JSON.stringify({ schema: 'starassay/rig-record@1', documents: results }, null, 1)}\n`);
      return;
    }
    for (const { name, ...result } of results) context.out(`${name}: ${recordedText(store, result)}\n`);
  });
}

function nightsOf(content: string, name: string): Readable {
  if (content.slice(0, 500).includes('"starassay/rig-year@1"'))
    return { name, ...parseSimulatedYear(content, name) };
  return { name, nights: [parseNightDocument(content, name)], notes: [] };
}

function addMissingNotes(store: RigStore, rigId: string, notes: SimulatedYear['notes']): void {
  const known = new Set(listNotes(store, rigId).map((note) => `${note.date} ${note.text}`));
  for (const note of notes) if (!known.has(`${note.date} ${note.text}`)) addNote(store, rigId, note);
}

/** What a recording did, in one line. */
export function recordedText(store: RigStore, { nights, added, updated, undated }: Recorded): string {
  const left = undated.length > 0 ? ` (${undated.length} without a date were left out)` : '';
  if (nights.length === 0) return `nothing${left}`;
  const names = new Map(listRigs(store).map((rig) => [rig.id, rig.name]));
  const dates = nights.map((night) => night.date).sort();
  const when =
    dates.length > 3 ? `${dates.length} nights, ${dates[0]} to ${dates[dates.length - 1]}` : dates.join(', ');
  const rigs = [...new Set(nights.map((night) => names.get(night.rigId) ?? night.rigId))];
  // Simulated nights share date and times: what was there under them is gone.
  const replaced = updated > 0 ? ' (recorded before under the same camera and times)' : '';
  return `${added} new, ${updated} updated subs${replaced}, ${when}, of ${rigs.join(' and ')}${left}`;
}

/** `rig note`: log, remove, or list. */
export async function logNote(
  date: string | undefined,
  text: string | undefined,
  flags: RigFlags,
  context: CliContext,
): Promise<void> {
  const listing = date === undefined && flags.remove === undefined;
  await withStore(flags, context, listing ? 'read' : 'write', (store) => {
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
    const evening = eveningDate(date);
    const same = listNotes(store, rig.id).find((note) => note.date === evening && note.text === text.trim());
    if (same === undefined) addNote(store, rig.id, { date: evening, text, spacingMm });
    else context.note(`there already, as note ${same.number}: ${evening} ${safeText(same.text)}\n`);
    context.out(notesText(listNotes(store, rig.id), context));
  });
}
