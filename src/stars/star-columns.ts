import { gather } from '../stats/index.js';
import type { StarTable } from './types.js';

type Mutable<T> = { -readonly [K in keyof T]: T[K] };
/** The table while it is being filled. */
export type StarColumns = Mutable<StarTable>;

const FIGURES = [
  'x',
  'y',
  'flux',
  'peak',
  'snr',
  'background',
  'fwhm',
  'fwhmError',
  'elongation',
  'angleDeg',
  'e1',
  'e2',
  'eError',
  'axis1',
  'axis2',
  'axisError',
  'beta',
  'hfd',
  'hfdError',
  'mxx',
  'mxy',
  'myy',
  'mError',
  'skewX',
  'skewY',
  'skewError',
] as const satisfies readonly Exclude<
  keyof StarTable,
  'count' | 'flags' | 'fwhmSharedError' | 'hfdSharedError'
>[];

/** A table of `count` stars with every figure NaN and no flag set. */
export function emptyColumns(count: number): StarColumns {
  const columns = {
    count,
    fwhmSharedError: 0,
    hfdSharedError: 0,
    flags: new Uint16Array(count),
  } as StarColumns;
  for (const name of FIGURES) columns[name] = new Float64Array(count).fill(NaN);
  return columns;
}

/** The same stars, brightest first; stars without a flux last. */
export function sortedTable(columns: StarTable): StarTable {
  const key = columns.flux.map((f) => (Number.isFinite(f) ? f : -Infinity));
  const order = new Uint32Array(key.length).map((_, k) => k).sort((a, b) => key[b] - key[a]);
  const sorted = emptyColumns(columns.count);
  sorted.fwhmSharedError = columns.fwhmSharedError;
  sorted.hfdSharedError = columns.hfdSharedError;
  sorted.flags = Uint16Array.from(order, (k) => columns.flags[k]);
  for (const name of FIGURES) sorted[name] = gather(columns[name], order);
  return sorted;
}
