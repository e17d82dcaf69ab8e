import { median } from 'simple-statistics';
import { html, type SafeHtml } from '../html.js';
import { count, duration } from '../numbers.js';
import { heightScale, leftAxis } from '../plot/axis.js';
import { mark, markName, markIndex } from '../plot/marks.js';
import { at, svgPlot, type Area } from '../plot/svg.js';
import { drawGaps, drawTimeAxis, timeAxis, type TimeAxis } from '../plot/time-axis.js';
import type { PageView } from '../view.js';
import { nightFigures, type LimitLine, type NightFigure } from './night-figures.js';
import { behindThePlot, bothWidths, type Panel } from './panel.js';

const TOP = 26;
const ROW_HEIGHT = 96;
const ROW_SPACE = 30;
const BOTTOM = 26;
/** Marks stay whole at either end: half of a struck-through one, user units. */
const MARK_ROOM = 7;
/** Rejected marks never get smaller than this part of their full size: a struck-through dot must stay one. */
const MIN_REJECTED = 0.7;

/** The night as it went: each figure against time, one row a figure, one mark a sub. */
export const timeline: Panel = {
  id: 'timeline',
  title: 'The night as it went',
  draw: (view) => {
    if (view.frames.length === 0) return null;
    const rows = nightFigures.filter((figure) =>
      view.frames.some((frame) => figure.of(frame, view) !== null),
    );
    const missing = nightFigures
      .filter((figure) => !rows.includes(figure))
      .map((figure) => figure.title.toLowerCase());
    const flips = meridianFlips(view);
    return html`${legend(view)}${bothWidths((width, suffix) => drawTimeline(view, rows, flips, width, suffix))}
      <p class="caption">
        ${captionOf(view, flips.length)}${missing.length > 0 && ` Not known: ${missing.join(', ')}.`}
      </p>
      ${behindThePlot('Figures of the night by group; every sub is in the table of subs', ['Figure', 'Group', 'Lowest', 'Median', 'Highest', 'Limit', 'Subs'], tableRows(view, rows))}`;
  },
};

function legend(view: PageView): SafeHtml {
  return html`<ul class="legend">
    ${view.groupNames.map(
      (name, i) =>
        html`<li>
          <svg class="plot swatch" viewBox="-8 -8 16 16" aria-hidden="true">
            <use href="#k${markIndex(i)}" /></svg
          >${name}
        </li>`,
    )}
    <li>
      <svg class="plot swatch" viewBox="-8 -8 16 16" aria-hidden="true"><use href="#r0" /></svg>hollow, struck
      through: rejected
    </li>
    <li>
      <svg class="plot swatch" viewBox="-8 -8 16 16" aria-hidden="true">
        <path class="limit" d="M-8 0H8" /></svg
      >limit
    </li>
  </ul>`;
}

/** Indices of frames before which the telescope changed sides, told by the header or by the turn of the stars. */
function meridianFlips(view: PageView): number[] {
  const flips: number[] = [];
  for (let i = 1; i < view.frames.length; i++) {
    const before = view.frames[i - 1]!;
    const after = view.frames[i]!;
    const sides = [before.frame.header.pierSide, after.frame.header.pierSide] as const;
    if (sides[0] !== null && sides[1] !== null) {
      if (sides[0] !== sides[1]) flips.push(i);
    } else if (before.group === after.group && before.frame.registration && after.frame.registration) {
      if (before.frame.registration.flipped !== after.frame.registration.flipped) flips.push(i);
    }
  }
  return flips;
}

function drawTimeline(
  view: PageView,
  rows: readonly NightFigure[],
  flips: readonly number[],
  width: number,
  suffix: string,
): SafeHtml {
  const left = 52;
  const area = (row: number): Area => ({
    left,
    top: TOP + row * (ROW_HEIGHT + ROW_SPACE),
    width: width - left - 8,
    height: ROW_HEIGHT,
  });
  const whole = area(0);
  const axis = timeAxis(
    view.frames.map((frame) => frame.timeMs),
    { ...whole, left: whole.left + MARK_ROOM, width: whole.width - 2 * MARK_ROOM },
  );
  const height = TOP + rows.length * (ROW_HEIGHT + ROW_SPACE) - ROW_SPACE + BOTTOM;
  return svgPlot(
    {
      id: `timeline-${suffix}`,
      title: 'Figures of the night against time',
      description: `${rows.map((row) => row.title).join(', ')}, one mark a sub, in order of time. The table below the plot and the table of subs hold the same figures.`,
      width,
      height,
    },
    rows.map((figure, row) => drawRow(view, figure, area(row), axis, flips)),
    drawTimeAxis(axis, area(rows.length - 1)),
  );
}

function drawRow(
  view: PageView,
  figure: NightFigure,
  area: Area,
  axis: TimeAxis,
  flips: readonly number[],
): SafeHtml {
  const values = view.frames.map((frame) => figure.of(frame, view));
  const shown = showable(values.filter((value): value is number => value !== null));
  const limits = figure.limits(view);
  // A limit far above every value would press them flat on the floor: it is named instead.
  const far = ({ value }: LimitLine) => value > 2 * Math.abs(shown.high);
  const lines = limits.filter((line) => !far(line));
  const scale = heightScale(
    [shown.low, shown.high],
    area,
    lines.map((line) => line.value),
  );
  const size = Math.max(0.42, Math.min(1, axis.pitch / 9));
  const marks = view.frames.map((frame, i) => {
    const value = values[i]!;
    if (value === null) return null;
    const beyond = value > shown.high ? -1 : value < shown.low ? 1 : 0;
    const y = beyond === 0 ? scale(value) : beyond < 0 ? area.top + 3 : area.top + area.height - 3;
    const caret =
      beyond !== 0 && html`<path class="here" d="M${at(axis.x[i]! - 3)} ${at(y + 7 * -beyond)}h6" />`;
    return html`${mark(axis.x[i]!, y, frame.group, frame.kept, i, frame.kept ? size : Math.max(size, MIN_REJECTED))}${caret}`;
  });
  const flipMarks = flips.map((i) => {
    const x = at((axis.x[i - 1]! + axis.x[i]!) / 2);
    return html`<line
      class="flip"
      x1="${x}"
      x2="${x}"
      y1="${at(area.top)}"
      y2="${at(area.top + area.height)}"
    />`;
  });
  const unit = figure.unit(view);
  return html`<g class="row" data-row="${figure.id}"
    ><text class="name" x="${at(area.left)}" y="${at(area.top - 8)}"
      >${figure.title}${unit !== '' && ` (${unit})`}</text
    >${limits
      .filter(far)
      .slice(0, 1)
      .map(
        (line) =>
          html`<text
            class="limitname"
            x="${at(area.left + area.width)}"
            y="${at(area.top - 8)}"
            text-anchor="end"
            >limit ${figure.text(line.value)}, above the scale</text
          >`,
      )}${drawGaps(axis, area)}${leftAxis(scale, area, 4)}${flipMarks}${lines.map((line) => drawLimit(view, line, scale(line.value), area, axis))}${marks}</g
  >`;
}

/** The range drawn: all values, unless a few stray so far that the rest would be a flat line. */
function showable(values: readonly number[]): { low: number; high: number } {
  const middle = median([...values]);
  const spread = median(values.map((value) => Math.abs(value - middle))) * 1.4826;
  const reach = Math.max(12 * spread, Math.abs(middle));
  const inside = values.filter((value) => Math.abs(value - middle) <= reach);
  return { low: Math.min(...inside), high: Math.max(...inside) };
}

function drawLimit(
  view: PageView,
  line: { readonly group: number | null },
  y: number,
  area: Area,
  axis: TimeAxis,
): SafeHtml {
  const places = view.frames.flatMap((frame, i) =>
    line.group === null || frame.group === line.group ? [axis.x[i]!] : [],
  );
  if (places.length === 0) return html``;
  const whole = line.group === null || view.groupNames.length === 1;
  const from = whole ? area.left : Math.max(area.left, Math.min(...places) - 6);
  const to = whole ? area.left + area.width : Math.min(area.left + area.width, Math.max(...places) + 6);
  return html`<line class="limit" x1="${at(from)}" x2="${at(to)}" y1="${at(y)}" y2="${at(y)}" />`;
}

function captionOf(view: PageView, flips: number): string {
  const timed = view.frames.every((frame) => frame.timeMs !== null);
  const first = view.frames[0]!;
  const last = view.frames[view.frames.length - 1]!;
  const span =
    timed && view.frames.length > 1 ? ` over ${duration((last.timeMs! - first.timeMs!) / 1000)}` : '';
  const clockWords = timed
    ? 'Times are UTC; a shaded band is a pause.'
    : 'Some subs carry no time, so they stand by number.';
  const flipWords = flips === 0 ? '' : ` A dotted line is a meridian flip (${flips}).`;
  return `${count(view.frames.length, 'sub')}${span}. ${clockWords}${flipWords} A mark with a bar lies beyond the scale.`;
}

function tableRows(view: PageView, rows: readonly NightFigure[]): string[][] {
  return rows.flatMap((figure) =>
    view.groupNames.flatMap((name, group) => {
      const values = view.frames
        .filter((frame) => frame.group === group)
        .map((frame) => figure.of(frame, view))
        .filter((value): value is number => value !== null);
      if (values.length === 0) return [];
      const limit = figure.limits(view).find((line) => line.group === group || line.group === null);
      const text = (value: number) => figure.text(value);
      return [
        [
          `${figure.title}${figure.unit(view) === '' ? '' : ` (${figure.unit(view)})`}`,
          `${name} (${markName(group)})`,
          text(Math.min(...values)),
          text(median(values)),
          text(Math.max(...values)),
          limit ? text(limit.value) : '',
          String(values.length),
        ],
      ];
    }),
  );
}
