import { frameRow } from './frame-row.js';
import { metricOf } from './metrics.js';
import { frameFigures, opticsFigures } from './night-figures.js';
import { nightDates } from './night-date.js';
import { plainNumber } from './sentences.js';
import type { RigStore } from './store.js';
import { sameOptics, trainOfFrame } from './train.js';
import { allTrains } from './trains.js';
import { findRig, owners } from './rigs.js';
import type {
  MetricCode,
  NightFigure,
  NormalFigure,
  RecordableFrame,
  RecordableNight,
  RigNormals,
} from './types.js';

/** A figure of a whole night outside what is normal for the rig. */
export interface AgainstHistory {
  readonly metric: MetricCode;
  readonly value: number;
  readonly error: number | null;
  readonly normal: NormalFigure;
  readonly sentence: string;
}

/** Limits from the rig's history for single frames; null where the history has none. */
export interface HistoryLimits {
  /** FWHM brought to the zenith, arcsec. */
  readonly fwhmZenithArcsec: number | null;
  readonly elongation: number | null;
}

/** Figures in which a night can be bad as a whole, so that none of its frames shows it against the others. */
const judged: readonly MetricCode[] = [
  'fwhm-zenith',
  'elongation',
  'tilt',
  'tilt-fwhm',
  'curvature',
  'tracking',
  'focus-blur',
];

/** The rig a night's frames belong to, if the history knows it; the store is only read. */
export function rigOfFrames(
  store: RigStore,
  frames: readonly RecordableFrame[],
): { readonly id: string; readonly name: string } | null {
  if (frames.length === 0) return null;
  const train = trainOfFrame(frames[0]);
  const known = allTrains(store).filter((candidate) => sameOptics(candidate, train));
  return known.length === 0 ? null : findRig(store, owners(store)(known[known.length - 1].rigId));
}

/** What of a night lies above the rig's normal range: a whole night out of focus or tilted has no good half to be judged against. */
export function judgeByHistory(night: RecordableNight, normals: RigNormals): AgainstHistory[] {
  const found: AgainstHistory[] = [];
  for (const figure of figuresOf(night)) {
    const normal = normals.figures[figure.metric];
    if (!judged.includes(figure.metric) || !normal) continue;
    const margin = 2 * (figure.error ?? 0);
    const over = figure.value - margin > normal.high;
    const under = metricOf(figure.metric).better === 'zero' && figure.value + margin < normal.low;
    if (over || under)
      found.push({
        metric: figure.metric,
        value: figure.value,
        error: figure.error,
        normal,
        sentence: sentence(figure, normal),
      });
  }
  return found;
}

/** The upper normal limits of the rig, for judging single frames. */
export function historyLimits(normals: RigNormals): HistoryLimits {
  return {
    fwhmZenithArcsec: normals.figures['fwhm-zenith']?.high ?? null,
    elongation: normals.figures.elongation?.high ?? null,
  };
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
