import type { HistoryFinding } from '../../causes/types.js';
import { frameRow } from '../frame-row.js';
import { metricOf } from '../metrics.js';
import { frameFigures, opticsFigures } from '../night-figures.js';
import { nightDates } from '../night-date.js';
import { plainNumber } from '../sentences.js';
import type { MetricCode, NightFigure, NormalFigure, RecordableNight, RigNormals } from '../types.js';

/** Figures in which a night can be bad as a whole, so that none of its frames shows it against the others; and where to look then. */
const whereToLook: Readonly<Partial<Record<MetricCode, (normal: NormalFigure) => string>>> = {
  'fwhm-zenith': () =>
    'No sub shows this against the others: look at the focus first, then at dew and the seeing.',
  elongation: () => 'Look at guiding, balance and cables first.',
  tilt: ({ to }) => `Look for what was turned, changed or came loose in the imaging train since ${to}.`,
  'tilt-fwhm': ({ to }) =>
    `Look for what was turned, changed or came loose in the imaging train since ${to}.`,
  curvature: ({ to }) => `Look for a changed distance between corrector and sensor since ${to}.`,
  tracking: () => 'Look at guiding, balance and cables first.',
  'focus-blur': () => 'Focus more often, or look at the law that moves the focuser with temperature.',
};

/** What of a night lies above the rig's normal range: a whole night out of focus or tilted has no good half to be judged against. */
export function judgeByHistory(night: RecordableNight, normals: RigNormals): HistoryFinding[] {
  const found: HistoryFinding[] = [];
  for (const figure of figuresOf(night)) {
    const normal = normals.figures[figure.metric];
    const look = whereToLook[figure.metric];
    // Nights that are all alike to the last digit give no range to be outside of.
    if (!look || !normal || !(normal.sigma > 0)) continue;
    const margin = 2 * (figure.error ?? 0);
    const over = figure.value - margin > normal.high;
    const under = metricOf(figure.metric).better === 'zero' && figure.value + margin < normal.low;
    if (!over && !under) continue;
    found.push({
      metric: figure.metric,
      value: figure.value,
      error: figure.error,
      unit: normal.unit,
      normalLow: normal.low,
      normalHigh: normal.high,
      nights: normal.nights,
      sentence: `${sentence(figure, normal)} ${look(normal)}`,
    });
  }
  const isFound = (metric: MetricCode) => found.some((one) => one.metric === metric);
  // Softness across the field is the same tilt in another unit, or what any tilt does out of focus.
  return isFound('tilt') || isFound('fwhm-zenith')
    ? found.filter((one) => one.metric !== 'tilt-fwhm')
    : found;
}

function figuresOf(night: RecordableNight): NightFigure[] {
  // Frames without a time still count here: nothing is filed.
  const dates = nightDates(night.frames.map(({ header }) => header));
  const latest =
    dates
      .filter((date) => date !== null)
      .sort()
      .at(-1) ?? null;
  const frames = night.frames.filter((_, i) => dates[i] === latest || dates[i] === null);
  if (frames.length === 0) return [];
  const offsets = new Map(
    night.optics.flatMap((state) => state.focus.map(({ file, offset }) => [file, offset] as const)),
  );
  const rows = frames.map((frame) => frameRow(frame, offsets.get(frame.file) ?? null));
  const state = [...night.optics].sort((a, b) => b.frames - a.frames)[0];
  const { widthPx, heightPx } = frames[0].image;
  return [...opticsFigures(state ? { ...state, widthPx, heightPx } : null, rows), ...frameFigures(rows)];
}

function sentence(figure: NightFigure, normal: NormalFigure): string {
  const { decimals } = metricOf(figure.metric);
  const unit = normal.unit === '' ? '' : ` ${normal.unit}`;
  const value = (n: number) => plainNumber(n, decimals);
  return `${normal.title} of the whole night is ${value(figure.value)}${unit}; normal for this rig is ${value(normal.low)} to ${value(normal.high)}${unit} (${normal.nights} nights, ${normal.from} to ${normal.to}).`;
}
