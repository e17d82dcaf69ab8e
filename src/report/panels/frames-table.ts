import { html, type HtmlPart, type SafeHtml } from '../html.js';
import { adu, celsius, clock, day, ratio, whole } from '../numbers.js';
import {
  reasonTitles,
  sizeIn,
  tellingReasons,
  tellingWords,
  type FrameView,
  type PageView,
} from '../view.js';
import type { Panel } from './panel.js';

/** A column of the table of frames. */
interface Column {
  readonly id: string;
  readonly title: string;
  readonly numeric: boolean;
  /** What stands in the cell, and what it is sorted by. */
  readonly cell: (
    frame: FrameView,
    view: PageView,
  ) => { readonly shown: HtmlPart; readonly by: string | number | null };
}

const figure = (
  id: string,
  title: string,
  of: (frame: FrameView, view: PageView) => number | null,
  text: (value: number | null) => string,
): Column => ({
  id,
  title,
  numeric: true,
  cell: (frame, view) => {
    const value = of(frame, view);
    return { shown: text(value), by: value };
  },
});

const columns: readonly Column[] = [
  {
    id: 'decision',
    title: 'Decision',
    numeric: false,
    cell: ({ kept }) => ({
      shown: html`<span class="${kept ? 'keep' : 'reject'}">${kept ? '● keep' : '⊘ reject'}</span>`,
      by: kept ? 0 : 1,
    }),
  },
  {
    id: 'reasons',
    title: 'Reasons and causes',
    numeric: false,
    cell: ({ frame }, view) => ({ shown: reasonsOf(frame, view), by: null }),
  },
  {
    id: 'time',
    title: 'Time (UTC)',
    numeric: false,
    cell: ({ frame, index }) => ({ shown: clock(frame.header.dateObs), by: index }),
  },
  {
    id: 'group',
    title: 'Group',
    numeric: false,
    cell: ({ frame }) => ({ shown: frame.group, by: frame.group }),
  },
  figure('fwhm', 'FWHM', ({ frame }, view) => sizeIn(view.unit, frame.fwhm), ratio),
  figure('hfd', 'HFD', ({ frame }, view) => sizeIn(view.unit, frame.hfd), ratio),
  figure('elongation', 'Elong.', ({ frame }) => frame.elongation, ratio),
  figure('background', 'Sky (ADU)', ({ frame }) => frame.background.level, adu),
  figure('transparency', 'Transp.', ({ frame }) => frame.transparency, ratio),
  figure('weight', 'Weight', ({ frame }) => frame.weight, ratio),
  figure('stars', 'Stars', ({ frame }) => frame.stars.measured, whole),
  figure('focus', 'Focus', ({ frame }) => frame.header.focuserPosition, whole),
  figure(
    'temperature',
    'Temp.',
    ({ frame }) => frame.header.focuserTemperatureC ?? frame.header.ambientTemperatureC,
    celsius,
  ),
];

/** Every sub in a row, with its figures and its reasons; sorting and filtering come with JavaScript. */
export const framesTable: Panel = {
  id: 'subs',
  title: 'Every sub',
  draw: (view) => {
    if (view.frames.length === 0) return null;
    const used = columnsOf(view);
    const common = commonCauses(view);
    const days = new Set(view.frames.map(({ frame }) => day(frame.header.dateObs)));
    return html`${filters(view)}
      <div class="tablebox tall" tabindex="0" role="region" aria-label="Table of subs">
        <table id="subs-table" class="subs">
          <caption>
            ${view.groupNames.length === 1 && `${view.groupNames[0]!}. `}Sizes in
            ${view.unit}${days.size === 1 && `, ${[...days][0]!}`}. A dash: could not be
            measured.${common.length > 0 && ` Causes that every sub shares stand above, not in each row: ${common.map((code) => causeTitle(code, view)).join(', ')}.`}
          </caption>
          <thead>
            <tr>
              <th scope="col" data-column="file">Sub</th>
              ${used.map((column) => html`<th scope="col" data-column="${column.id}" ${column.numeric && html` class="n"`}>${column.title}</th>`)}
            </tr>
          </thead>
          <tbody>
            ${view.frames.map((frame) => frameRow(frame, view))}
          </tbody>
        </table>
      </div>`;
  },
};

/** The columns that some sub has something for; the same for all rows of a view. */
function columnsOf(view: PageView): readonly Column[] {
  const known = columnsKnown.get(view);
  if (known) return known;
  const used = columns.filter(
    (column) =>
      (!column.numeric || view.frames.some((frame) => column.cell(frame, view).by !== null)) &&
      (column.id !== 'group' || view.groupNames.length > 1),
  );
  columnsKnown.set(view, used);
  return used;
}

const columnsKnown = new WeakMap<PageView, readonly Column[]>();

function filters(view: PageView): SafeHtml {
  const reasons = [
    ...new Set(view.frames.flatMap(({ frame }) => tellingReasons(frame).map((reason) => reason.code))),
  ];
  return html`<form class="filters js" id="filters">
    <label>Find <input type="search" id="find" autocomplete="off" placeholder="name, reason, cause" /></label
    ><label
      >Decision
      <select id="by-decision">
        <option value="">all</option>
        <option value="keep">kept</option>
        <option value="reject">rejected</option>
      </select></label
    >${
      view.groupNames.length > 1 &&
      html`<label
        >Group
        <select id="by-group">
          <option value="">all</option>
          ${view.groupNames.map((name, i) => html`<option value="${i}">${name}</option>`)}
        </select></label
      >`
    }${
      reasons.length > 0 &&
      html`<label
        >Reason
        <select id="by-reason">
          <option value="">any</option>
          ${reasons.map((code) => html`<option value="${code}">${reasonTitles[code]}</option>`)}
        </select></label
      >`
    }<button type="reset">Show all</button><output id="shown" aria-live="polite"></output>
  </form>`;
}

/** The row of one sub. */
export function frameRow(view: FrameView, page: PageView): SafeHtml {
  const codes = tellingReasons(view.frame)
    .map((reason) => reason.code)
    .join(' ');
  return html`<tr
    id="t${view.index}"
    data-f="${view.index}"
    data-decision="${view.kept ? 'keep' : 'reject'}"
    data-group="${view.group}"
    data-reasons="${codes}"
  >
    <th scope="row" data-by="${view.frame.file}">
      <a href="#f${view.index}"><bdi>${view.frame.file}</bdi></a>
    </th>
    ${columnsOf(page).map((column) => {
      const { shown, by } = column.cell(view, page);
      return html`<td${column.numeric && html` class="n"`}${by !== null && html` data-by="${by}"`}>${shown}</td>`;
    })}
  </tr>`;
}

/** Why a frame was rejected, or kept against the limits. */
function reasonsOf(frame: FrameView['frame'], view: PageView): SafeHtml {
  const common = commonCauses(view);
  const causes = frame.causes
    .filter((cause) => !common.includes(cause.code))
    .map((cause) => causeTitle(cause.code, view));
  return html`${tellingWords(frame).join('; ')}${causes.length > 0 && html` <span class="cause">${causes.join(', ')}</span>`}`;
}

function causeTitle(code: string, view: PageView): string {
  return view.causeTitles.get(code) ?? code;
}

/** Causes that concern every sub of a night: the same words in each row would hide what tells the rows apart. */
function commonCauses({ frames }: PageView): readonly string[] {
  if (frames.length < 2) return [];
  const [first, ...rest] = frames.map(({ frame }) => frame.causes.map((cause) => cause.code));
  return first!.filter((code) => rest.every((codes) => codes.includes(code)));
}
