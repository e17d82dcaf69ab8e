import type {
  MetricStatus,
  MetricTrend,
  Rig,
  RigComparison,
  RigNote,
  RigStatus,
  RigTrends,
} from '../../rig/types.js';
import { count, fixed, signed } from '../numbers.js';
import { safeLine } from '../sanitize.js';
import { sparkline } from '../terminal-sparkline.js';
import { clipCell, padCell, paint, wrapText, type TerminalStyle } from '../terminal-text.js';
import { pText, trendSentences } from './trend-words.js';

/** Further nights that are worth naming. */
const MOST_NIGHTS_TOLD = 100;

/** The rigs of a history, each with its trains, for the terminal. */
export function rigListText(rigs: readonly Rig[], style: TerminalStyle): string {
  const blocks = rigs.map((rig) => {
    const span =
      rig.firstNight === null
        ? 'no nights'
        : `${count(rig.nights, 'night')}, ${count(rig.frames, 'sub')}, ${rig.firstNight} to ${rig.lastNight}`;
    const trains = rig.trains.map((train) => {
      const parts = [
        train.camera,
        train.telescope,
        train.focalLengthMm === null ? null : `${train.focalLengthMm} mm`,
        train.pixelMicron === null ? null : `${train.pixelMicron} µm`,
        train.rotationDeg === null ? null : `camera at ${fixed(train.rotationDeg, 0)}°`,
      ].filter((part) => part !== null);
      return wrapText(
        safeLine(`  train ${train.key}: ${parts.join(', ') || 'headers say nothing'}`),
        style.columns,
        '    ',
      );
    });
    return [`${paint(safeLine(rig.name), 'bold', style)} (${rig.id})`, `  ${span}`, ...trains].join('\n');
  });
  return blocks.length === 0 ? 'No rig recorded yet.\n' : `${blocks.join('\n')}\n`;
}

/** One glance at a rig: what left its normal range first, then what is normal. */
export function rigStatusText(status: RigStatus, style: TerminalStyle): string {
  const odd = status.metrics.filter((metric) => metric.state !== 'normal');
  const normal = status.metrics.filter((metric) => metric.state === 'normal');
  const lines = [
    wrapText(
      `${paint(safeLine(status.rig.name), 'bold', style)}: ${count(status.nights, 'night')}${status.firstNight === null ? '' : `, ${status.firstNight} to ${status.lastNight}`}`,
      style.columns,
      '  ',
    ),
    '',
  ];
  const order: readonly MetricStatus['state'][] = ['left', 'drifting', 'last-night', 'improved'];
  for (const state of order) {
    for (const metric of odd.filter((m) => m.state === state)) {
      const mark = state === 'improved' ? '+' : '!';
      const text = wrapText(`${mark} ${safeLine(metric.sentence)}`, style.columns, '  ');
      lines.push(paint(text, state === 'improved' ? 'good' : 'warn', style));
    }
  }
  if (odd.length === 0 && status.metrics.length > 0) lines.push('Everything is in its normal range.');
  if (normal.length > 0)
    lines.push('', ...normalTable(normal).map((line) => clipCell(line, style.columns ?? Infinity)));
  const waiting = Object.entries(status.absent).filter(([, why]) => why !== 'not measured yet');
  if (waiting.length > 0) {
    const [first] = waiting;
    lines.push(
      '',
      wrapText(
        `No normal range yet: ${waiting.map(([code]) => code).join(', ')} (${first[1]}).`,
        style.columns,
        '  ',
      ),
    );
  }
  return `${lines.join('\n')}\n`;
}

function normalTable(metrics: readonly MetricStatus[]): string[] {
  const rows = metrics.map(({ title, now, normal, unit, decimals }) => [
    title,
    fixed(now, decimals),
    `${fixed(normal.low, decimals)} to ${fixed(normal.high, decimals)}`,
    unit,
  ]);
  return table([['in its normal range', 'now', 'normal', ''], ...rows], ['left', 'right', 'right', 'left']);
}

/** Trends for the terminal: a line of bars and the findings in words for each figure, notes marked below the bars. */
export function rigTrendText(trends: RigTrends, style: TerminalStyle): string {
  const lines = [paint(safeLine(trends.rig.name), 'bold', style), ''];
  const width = Math.min(60, (style.columns ?? 80) - 4);
  for (const metric of trends.metrics) {
    lines.push(paint(`${metric.title}${metric.unit === '' ? '' : ` [${metric.unit}]`}`, 'bold', style));
    lines.push(
      `  ${sparkline(
        metric.points.map((point) => point.value),
        width,
      )}`,
    );
    const marks = noteLine(metric, trends.notes, width);
    if (marks.trim() !== '') lines.push(`  ${marks}`);
    const values = metric.points.map((point) => point.value);
    const range = `${metric.points[0].date} to ${metric.points[metric.points.length - 1].date}, ${fixed(Math.min(...values), metric.decimals)} to ${fixed(Math.max(...values), metric.decimals)}`;
    lines.push(wrapText(`  ${range}`, style.columns, '  '));
    for (const sentence of trendSentences(metric))
      lines.push(wrapText(`  ${safeLine(sentence)}`, style.columns, '    '));
    lines.push('');
  }
  if (trends.metrics.length === 0)
    lines.push('None of these figures was measured on any night in that time.', '');
  if (trends.notes.length > 0) lines.push(notesText(trends.notes, style));
  return `${lines.join('\n').trimEnd()}\n`;
}

/** A mark under the bar of the first night that a note counts for. */
function noteLine(metric: MetricTrend, notes: readonly RigNote[], width: number): string {
  const shown = Math.min(width, metric.points.length);
  const cells = Array.from({ length: shown }, () => ' ');
  for (const note of notes) {
    const index = metric.points.findIndex((point) => point.date >= note.date);
    if (index < 0 || note.date < metric.points[0].date) continue;
    cells[Math.min(shown - 1, Math.floor((index * shown) / metric.points.length))] =
      note.kind === 'logged' ? String(note.number % 10) : '^';
  }
  return cells.join('').trimEnd();
}

/** The notes of a rig, one a line. */
export function notesText(notes: readonly RigNote[], style: TerminalStyle): string {
  if (notes.length === 0) return 'No notes yet.\n';
  const lines = notes.map((note) => {
    const mark = note.kind === 'logged' ? String(note.number).padStart(3) : '  ^';
    const spacing = note.spacingMm === null ? '' : ` (spacing ${signed(note.spacingMm, 2)} mm)`;
    return wrapText(safeLine(`${mark} ${note.date} ${note.text}${spacing}`), style.columns, ' '.repeat(15));
  });
  return `${lines.join('\n')}\n`;
}

/** A comparison for the terminal: what is better, worse or changed first, then what the data cannot tell. */
export function rigCompareText(comparison: RigComparison, style: TerminalStyle): string {
  const range = (r: RigComparison['before']) =>
    `${r.from ?? 'the start'} to ${r.to ?? 'now'} (${count(r.nights, 'night')})`;
  const lines = [
    wrapText(
      `${paint(safeLine(comparison.rig.name), 'bold', style)}: before ${range(comparison.before)}, after ${range(comparison.after)}`,
      style.columns,
      '  ',
    ),
    '',
  ];
  for (const verdict of ['better', 'worse', 'changed'] as const) {
    for (const metric of comparison.metrics.filter((m) => m.verdict === verdict)) {
      const mark = { better: '+', worse: '!', changed: '~' }[verdict];
      const text = wrapText(
        `${mark} ${safeLine(metric.sentence)} [p ${pText(metric.p)}]`,
        style.columns,
        '  ',
      );
      const tone = { better: 'good', worse: 'warn', changed: null }[verdict] as 'good' | 'warn' | null;
      lines.push(tone === null ? text : paint(text, tone, style));
    }
  }
  for (const verdict of ['unchanged', 'cannot-tell'] as const) {
    const metrics = comparison.metrics.filter((m) => m.verdict === verdict);
    // One figure, or one asked for, may say all it knows; many are one line.
    if (metrics.length === 1)
      lines.push(wrapText(safeLine(`${MARKS[verdict]} ${metrics[0].sentence}`), style.columns, '  '));
    else if (metrics.length > 1) lines.push(wrapText(foldedLine(verdict, metrics), style.columns, '  '));
  }
  if (comparison.metrics.length === 0) lines.push('No figure was measured both before and after.');
  return `${lines.join('\n')}\n`;
}

const MARKS = { unchanged: '=', 'cannot-tell': '?' } as const;

function foldedLine(verdict: keyof typeof MARKS, metrics: RigComparison['metrics']): string {
  const names = metrics.map(({ title, moreNights }) => {
    const wait = verdict === 'cannot-tell' && moreNights !== null && moreNights <= MOST_NIGHTS_TOLD;
    return `${title}${wait ? ` (about ${count(moreNights, 'more night')} would)` : ''}`;
  });
  const lead = verdict === 'unchanged' ? 'No change to speak of:' : 'Too uncertain to tell:';
  return `${MARKS[verdict]} ${lead} ${names.join(', ')}.`;
}

function table(rows: readonly (readonly string[])[], sides: readonly ('left' | 'right')[]): string[] {
  const widths = sides.map((_, column) => Math.max(...rows.map((row) => [...row[column]].length)));
  return rows.map((row) =>
    row
      .map((cell, column) => padCell(cell, widths[column], sides[column]))
      .join('  ')
      .trimEnd(),
  );
}
