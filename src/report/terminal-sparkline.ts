import { median } from 'simple-statistics';

const levels = '▁▂▃▄▅▆▇█';
/** Stands where a value is missing. */
const gap = '·';

/**
 * A row of figures as one line of bars, low to high from the smallest to the largest value; missing ones show as a dot, equal ones as the lowest bar.
 * More values than `width` are joined, the median of each run standing for it.
 */
export function sparkline(values: readonly (number | null)[], width: number): string {
  const runs = joinRuns(values, Math.max(1, Math.floor(width)));
  const known = runs.filter((value) => value !== null);
  const low = Math.min(...known);
  const span = Math.max(...known) - low;
  return runs
    .map((value) => {
      if (value === null) return gap;
      const level = span > 0 ? Math.round(((value - low) / span) * (levels.length - 1)) : 0;
      return levels[level];
    })
    .join('');
}

function joinRuns(values: readonly (number | null)[], count: number): (number | null)[] {
  const finite = values.map((value) => (value !== null && Number.isFinite(value) ? value : null));
  if (finite.length <= count) return finite;
  return Array.from({ length: count }, (_, i) => {
    const from = Math.floor((i * finite.length) / count);
    const to = Math.max(from + 1, Math.floor(((i + 1) * finite.length) / count));
    const run = finite.slice(from, to).filter((value) => value !== null);
    return run.length === 0 ? null : median(run);
  });
}
