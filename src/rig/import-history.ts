import { EXPORT_SCHEMA, exportedTables } from './export-history.js';
import { refreshFigures } from './refresh-figures.js';
import { frameColumns } from './schema.js';
import { StoreError } from './store-error.js';
import type { RigStore } from './store.js';

type Row = Record<string, string | number | null>;
type Table = (typeof exportedTables)[number];

/** What an import brought, by kind of record. */
export interface Imported {
  readonly added: Readonly<Record<Table, number>>;
  /** Records that both had and of which the imported one was the later. */
  readonly replaced: Readonly<Record<Table, number>>;
}

/** A group of columns that is taken over together when its stamp is the later one. */
interface Group {
  readonly stamp: string;
  readonly columns: readonly string[];
}

interface TablePlan {
  readonly key: readonly string[];
  readonly groups: readonly Group[];
}

const plans: Readonly<Record<Table, TablePlan>> = {
  rig: { key: ['id'], groups: [{ stamp: 'changedAt', columns: ['name', 'mergedInto'] }] },
  train: {
    key: ['key'],
    groups: [
      {
        stamp: 'changedAt',
        columns: ['rigId', 'camera', 'telescope', 'focalLengthMm', 'pixelMicron', 'rotationDeg'],
      },
    ],
  },
  night: {
    key: ['id'],
    groups: [
      { stamp: 'recordedAt', columns: ['date', 'trainKey', 'version', 'causes'] },
      { stamp: 'assignedAt', columns: ['assignedRigId'] },
      { stamp: 'opticsAt', columns: ['optics'] },
    ],
  },
  frame: {
    key: ['identity'],
    groups: [{ stamp: 'recordedAt', columns: ['nightId', ...Object.keys(frameColumns)] }],
  },
  note: {
    key: ['id'],
    groups: [{ stamp: 'changedAt', columns: ['rigId', 'date', 'text', 'spacingMm', 'removed'] }],
  },
  sensitivity: { key: ['rigId', 'measuredAt'], groups: [{ stamp: 'micronPerMm', columns: ['error'] }] },
};

/**
 * Merge the JSON Lines of another history into this one, as one transaction.
 *
 * Records are matched by their identity; of two versions the later change wins (equal stamps: the text that sorts last), so the
 * result does not depend on which computer imports from which, nor on how often. Throws StoreError naming the
 * line for anything that is no such export; then nothing is imported.
 */
export function importJsonLines(store: RigStore, lines: Iterable<string>, name: string): Imported {
  return store.transact(() => {
    // Rigs refer to each other and records may come in any order: checked once, at the end of the transaction.
    store.db.pragma('defer_foreign_keys = ON');
    const added = zeroCounts();
    const replaced = zeroCounts();
    const touched = new Set<string>();
    const mergers = Object.fromEntries(exportedTables.map((table) => [table, merger(store, table)]));
    let number = 0;
    for (const line of lines) {
      number++;
      if (line.trim() === '') continue;
      const record = parseLine(line, number, name);
      if (number === 1) {
        if (record.schema === EXPORT_SCHEMA) continue;
        throw badLine(name, number, 'it does not start with the line that a rig export starts with');
      }
      const table = record.type as Table;
      if (!exportedTables.includes(table))
        throw badLine(name, number, `unknown kind of record ${JSON.stringify(record.type)}`);
      const missing = plans[table].key.find((column) => typeof record[column] !== 'string');
      if (missing) throw badLine(name, number, `a ${table} without ${missing}`);
      const { outcome, old } = mergeOrRefuse(mergers[table], record, number, name);
      if (outcome === 'added') added[table]++;
      if (outcome === 'replaced') replaced[table]++;
      if (outcome === 'kept') continue;
      for (const row of [record, old]) {
        if (table === 'frame' && row) touched.add(String(row.nightId));
        if (table === 'night' && row) touched.add(String(row.id));
      }
    }
    refuseDangling(store, name);
    refreshFigures(store, [...touched]);
    return { added, replaced };
  });
}

type Merge = (record: Row) => { readonly outcome: 'added' | 'replaced' | 'kept'; readonly old: Row | null };

/** A record that the table refuses (a column missing, a list where a number belongs) is the file's fault, not the store's. */
function mergeOrRefuse(merge: Merge, record: Row, number: number, name: string) {
  try {
    return merge(record);
  } catch (error) {
    const code = (error as { code?: string }).code ?? '';
    if (code.startsWith('SQLITE_CONSTRAINT') || error instanceof TypeError) {
      throw badLine(name, number, `an incomplete ${record.type}`);
    }
    throw error;
  }
}

function merger(store: RigStore, table: Table): Merge {
  const { key, groups } = plans[table];
  const where = key.map((column) => `${column} = @${column}`).join(' AND ');
  const columns = [...new Set([...key, ...groups.flatMap((group) => [group.stamp, ...group.columns])])];
  const find = store.db.prepare(`SELECT * FROM ${table} WHERE ${where}`);
  const write = store.db.prepare(
    `INSERT OR REPLACE INTO ${table} (${columns.join(', ')}) VALUES (${columns.map((c) => `@${c}`).join(', ')})`,
  );
  const update = store.db.prepare(
    `UPDATE ${table} SET ${columns
      .filter((column) => !key.includes(column))
      .map((column) => `${column} = @${column}`)
      .join(', ')} WHERE ${where}`,
  );
  return (record) => {
    const incoming = Object.fromEntries(columns.map((column) => [column, record[column] ?? null]));
    const old = find.get(incoming) as Row | undefined;
    if (!old) {
      write.run(incoming);
      return { outcome: 'added', old: null };
    }
    const merged = { ...old };
    for (const group of groups) {
      if (!later(incoming, old, group)) continue;
      for (const column of [group.stamp, ...group.columns]) merged[column] = incoming[column];
    }
    if (columns.every((column) => merged[column] === old[column])) return { outcome: 'kept', old };
    update.run(Object.fromEntries(columns.map((column) => [column, merged[column]])));
    return { outcome: 'replaced', old };
  };
}

function later(incoming: Row, old: Row, group: Group): boolean {
  const [a, b] = [String(incoming[group.stamp] ?? ''), String(old[group.stamp] ?? '')];
  if (a !== b) return a > b;
  const text = (row: Row) => JSON.stringify(group.columns.map((column) => row[column] ?? null));
  return text(incoming) > text(old);
}

function refuseDangling(store: RigStore, name: string): void {
  const dangling = store.db.pragma('foreign_key_check') as { table: string; parent: string }[];
  if (dangling.length === 0) return;
  throw new StoreError(
    `${name} is not whole: a ${dangling[0].table} refers to a ${dangling[0].parent} that is not there`,
    'Export it again on the other computer; nothing was imported.',
    name,
  );
}

function parseLine(line: string, number: number, name: string): Row {
  try {
    const record: unknown = JSON.parse(line);
    if (record !== null && typeof record === 'object') return record as Row;
  } catch {
    // Falls through to the message with the line number.
  }
  throw badLine(name, number, 'not a JSON record');
}

function badLine(name: string, number: number, problem: string): StoreError {
  return new StoreError(
    `${name} is not an export of a rig history: line ${number}: ${problem}`,
    'Give a file written by `starassay rig export`; nothing was imported.',
    name,
  );
}

function zeroCounts(): Record<Table, number> {
  return { rig: 0, train: 0, night: 0, frame: 0, note: 0, sensitivity: 0 };
}
