import type { FoundChange, MetricTrend, Stretch } from '../../rig/types.js';

/** What happened to a rig, put together from the figures that show it. */
export type RigEvent =
  | {
      readonly kind: 'step';
      /** Night from which the figure that shows it most clearly is changed. */
      readonly date: string;
      readonly figures: readonly { readonly metric: MetricTrend; readonly change: FoundChange }[];
    }
  | {
      readonly kind: 'drift';
      /** First and last night of the drift of the figure that shows it most clearly. */
      readonly date: string;
      readonly to: string;
      readonly figures: readonly { readonly metric: MetricTrend; readonly stretch: Stretch }[];
    };

/** Nights by which two figures may date the same change differently. */
const NEAR_NIGHTS = 4;

/**
 * The events behind the changes of several figures, by date, the clearest figure of each first: steps of different figures within a few
 * nights are one event, and so are slow drifts that overlap for most of their time. No figures: none.
 */
export function rigEvents(metrics: readonly MetricTrend[]): RigEvent[] {
  const nights = [...new Set(metrics.flatMap(({ points }) => points.map((point) => point.date)))].sort();
  return [...stepEvents(metrics, nights), ...driftEvents(metrics)].sort((a, b) =>
    a.date.localeCompare(b.date),
  );
}

function stepEvents(metrics: readonly MetricTrend[], nights: readonly string[]): RigEvent[] {
  const found = metrics.flatMap((metric) =>
    metric.changes.filter(({ kind }) => kind === 'step').map((change) => ({ metric, change })),
  );
  const clearest = [...found].sort((a, b) => clearness(b.change) - clearness(a.change));
  const groups: (typeof found)[] = [];
  for (const one of clearest) {
    const place = nights.indexOf(one.change.date);
    const group = groups.find(
      ([first]) => Math.abs(nights.indexOf(first.change.date) - place) <= NEAR_NIGHTS,
    );
    if (group) group.push(one);
    else groups.push([one]);
  }
  return groups.map((figures) => ({ kind: 'step', date: figures[0].change.date, figures }));
}

function driftEvents(metrics: readonly MetricTrend[]): RigEvent[] {
  const found = metrics.flatMap((metric) =>
    metric.stretches
      .filter(({ driftPerMonth }) => driftPerMonth !== 0)
      .map((stretch) => ({ metric, stretch })),
  );
  const clearest = [...found].sort((a, b) => led(b.stretch) - led(a.stretch));
  const groups: (typeof found)[] = [];
  for (const one of clearest) {
    const group = groups.find(([first]) => overlap(first.stretch, one.stretch) > 0.5);
    if (group) group.push(one);
    else groups.push([one]);
  }
  return groups.map((figures) => ({
    kind: 'drift',
    date: figures[0].stretch.from,
    to: figures[0].stretch.to,
    figures,
  }));
}

function clearness({ size, error }: FoundChange): number {
  return error > 0 ? Math.abs(size) / error : Infinity;
}

/** How far a drift led, in scatters of single nights. */
function led({ startLevel, endLevel, chart }: Stretch): number {
  return chart && chart.sigma > 0 ? Math.abs(endLevel - startLevel) / chart.sigma : 0;
}

/** The time two stretches share, as a part of the shorter one. */
function overlap(a: Stretch, b: Stretch): number {
  const [from, to] = [Math.max(time(a.from), time(b.from)), Math.min(time(a.to), time(b.to))];
  const shorter = Math.min(time(a.to) - time(a.from), time(b.to) - time(b.from));
  return shorter > 0 ? (to - from) / shorter : 0;
}

function time(date: string): number {
  return Date.parse(`${date}T00:00:00Z`);
}
