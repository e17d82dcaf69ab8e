import { UsageError } from '../errors.js';
import { asStoreError, openStore, type DateRange, type RigStore } from '../rig/index.js';
import type { CliContext } from './context.js';
import { storePath } from './store-path.js';

/** Options of the `rig` commands as commander hands them over; each command uses its own few. */
export interface RigFlags {
  readonly db?: string;
  readonly json?: boolean;
  readonly metric?: readonly string[];
  readonly filter?: string;
  readonly since?: string;
  readonly until?: string;
  readonly report?: string;
  readonly palette?: 'light' | 'dark' | 'night';
  readonly failOn?: 'left' | 'drifting' | 'last-night';
  readonly note?: string;
  readonly before?: string;
  readonly after?: string;
  readonly rig?: string;
  readonly spacing?: string;
  readonly remove?: string;
  readonly train?: string;
  readonly merged?: string;
  readonly name?: string;
  readonly csv?: 'nights' | 'frames';
  readonly out?: string;
  readonly rebuild?: boolean;
}

/** Open the history that the options name, do the work, close it whatever happens. */
export async function withStore<T>(
  flags: Pick<RigFlags, 'db'>,
  context: CliContext,
  purpose: 'read' | 'write',
  work: (store: RigStore) => T,
): Promise<T> {
  const path = await storePath(flags.db, context);
  const store = openStore(path, { purpose });
  try {
    return work(store);
  } catch (error) {
    throw asStoreError(error, path);
  } finally {
    store.close();
  }
}

/** An evening date: YYYY-MM-DD, `today`, or an age such as 90d, 6m, 2y before today. UsageError for anything else. */
export function eveningDate(text: string, today = new Date()): string {
  if (text === 'today') return localDay(today);
  const age = /^(\d{1,4})([dmy])$/.exec(text);
  if (age) {
    const count = Number(age[1]);
    const days = { d: count, m: count * 30.4375, y: count * 365.25 }[age[2] as 'd' | 'm' | 'y'];
    return localDay(new Date(today.getTime() - days * 86_400_000));
  }
  const time = /^\d{4}-\d{2}-\d{2}$/.test(text) ? Date.parse(`${text}T00:00:00Z`) : NaN;
  // 2026-02-30 parses to nothing or to another day.
  if (!Number.isNaN(time) && new Date(time).toISOString().startsWith(text)) return text;
  throw new UsageError(
    `"${text}" is not a date`,
    'Write YYYY-MM-DD, for example 2026-03-04, or an age such as 6m.',
  );
}

/** A range FROM..TO of evenings; either end may be left out. UsageError for anything else. */
export function eveningRange(text: string): DateRange {
  const ends = text.split('..');
  if (ends.length !== 2 || (ends[0] === '' && ends[1] === '')) {
    throw new UsageError(
      `"${text}" is not a range of dates`,
      'Write FROM..TO, for example 2026-01-01..2026-02-28 or 2026-03-01..',
    );
  }
  const [from, to] = ends.map((end) => (end === '' ? null : eveningDate(end)));
  return { from, to };
}

/** A number given with an option. UsageError when it is none. */
export function numberOf(text: string, option: string): number {
  const value = Number(text);
  if (text.trim() !== '' && Number.isFinite(value)) return value;
  throw new UsageError(`${option} wants a number, got "${text}"`, `For example ${option} 1.`);
}

function localDay(date: Date): string {
  const two = (n: number) => String(n).padStart(2, '0');
  return `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
}
