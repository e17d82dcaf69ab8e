import { html, type SafeHtml } from '../html.js';
import {
  adu,
  celsius,
  clock,
  day,
  degrees,
  duration,
  percentOf,
  pixels,
  ratio,
  size,
  whole,
  withError,
} from '../numbers.js';
import { reasonWords, tellingReasons, tellingWords, type FrameView, type PageView } from '../view.js';
import { frameAtlas, framePreview, frameSensorMap } from './frame-pictures.js';
import type { Panel } from './panel.js';

/** Each sub with its pictures and all its figures: a folded list for readers, a stepper with keyboard with JavaScript. */
export const frameViewer: Panel = {
  id: 'viewer',
  title: 'Sub by sub',
  draw: (view) => {
    if (view.frames.length === 0) return null;
    return html`<div class="stepper js" id="stepper">
        <button type="button" id="step-back" aria-label="Sub before">←</button
        ><output id="step-place" aria-live="polite"></output
        ><button type="button" id="step-on" aria-label="Next sub">→</button
        ><span class="hint"
          >Arrow keys step, Home and End jump; the steps follow the table above, its order and its
          filter.</span
        >
      </div>
      <div id="frames">${view.frames.map((frame) => frameDetails(frame, view))}</div>`;
  },
};

function frameDetails(view: FrameView, page: PageView): SafeHtml {
  const { frame, index } = view;
  const hasMap = frame.field.cells.length > 0;
  return html`<details class="frame" id="f${index}" data-f="${index}">
    ${frameSummary(view)}
    <div class="framebody">
      ${page.pictures && pictures(view)}${
        hasMap &&
        html`<figure>
          ${frameSensorMap(page, view, 'f')}
          <figcaption>Sticks: elongation. Contours: FWHM.</figcaption>
        </figure>`
      }
      ${frameWords(view, page)}
    </div>
  </details>`;
}

/** The line that a sub is known by. */
export function frameSummary({ frame, index, kept }: FrameView): SafeHtml {
  return html`<summary id="s${index}">
    <span class="${kept ? 'keep' : 'reject'}">${kept ? '● keep' : '⊘ reject'}</span> <b>${frame.file}</b>
    <span class="quiet">${frame.group}, ${clock(frame.header.dateObs)}, FWHM ${size(frame.fwhm)}</span>
  </summary>`;
}

/** Reasons, causes, figures and notes of a sub. */
export function frameWords(view: FrameView, page: PageView): SafeHtml {
  return html`<div class="words" id="w${view.index}">
    ${whyOf(view, page)}${figuresOf(view)}${notesOf(view)}
  </div>`;
}

function pictures({ frame }: FrameView): SafeHtml {
  const preview = framePreview(frame);
  const atlas = frameAtlas(frame);
  return html`${
    preview &&
    html`<figure>
      ${preview}
      <figcaption>Stretched by itself: brightness does not compare between subs.</figcaption>
    </figure>`
  }${
    atlas &&
    html`<figure>
      ${atlas}
      <figcaption>Star atlas: the mean star of each part of the sensor.</figcaption>
    </figure>`
  }`;
}

function whyOf({ frame }: FrameView, page: PageView): SafeHtml {
  // A kept sub tells what it came nearest to.
  const told = tellingReasons(frame).length > 0 ? tellingWords(frame) : frame.reasons.map(reasonWords);
  return html`${
    told.length > 0 &&
    html`<ul class="why">
      ${told.map((reason) => html`<li>${reason}</li>`)}
    </ul>`
  }${frame.causes.length > 0 && html`<p>Causes: ${frame.causes.map((cause, i) => html`${i > 0 && ', '}${causeLink(cause.code, page)} (${percentOf(cause.confidence)})`)}</p>`}`;
}

function causeLink(code: string, page: PageView): SafeHtml {
  const title = page.causeTitles.get(code);
  return title === undefined ? html`${code}` : html`<a href="#cause-${code}">${title}</a>`;
}

function figuresOf({ frame }: FrameView): SafeHtml {
  const { header, fwhm } = frame;
  const all: readonly (readonly [string, string])[] = [
    ['Taken', header.dateObs === null ? '–' : `${day(header.dateObs)} ${clock(header.dateObs)} UTC`],
    ['Exposure', duration(header.exposureSeconds)],
    [
      'FWHM',
      frame.scale === null
        ? withError(fwhm.px, fwhm.standardError, 'px')
        : `${size(fwhm)} (${withError(fwhm.px, fwhm.standardError, 'px')})`,
    ],
    [
      'Half-flux diameter',
      frame.scale === null ? pixels(frame.hfd.px) : `${size(frame.hfd)} (${pixels(frame.hfd.px)})`,
    ],
    ['Elongation', withError(frame.elongation, frame.elongationError)],
    ['Common axis', axisOf(frame)],
    ['Sky background', `${adu(frame.background.level)} ± ${adu(frame.background.noise)} ADU`],
    ['Transparency', ratio(frame.transparency)],
    ['Weight', ratio(frame.weight)],
    [
      'Stars',
      `${whole(frame.stars.measured)} measured of ${whole(frame.stars.detected)}, ${whole(frame.stars.saturated)} saturated`,
    ],
    ['Focuser', whole(header.focuserPosition)],
    ['Temperature', celsius(header.focuserTemperatureC ?? header.ambientTemperatureC)],
    ['Altitude', degrees(header.altitudeDeg)],
    ['Streaks', frame.streaks.length > 0 ? String(frame.streaks.length) : '–'],
  ];
  // A dash for a figure that this kind of file never has is noise; measured ones stay, and say why below.
  const rows = all.filter(
    ([name, value]) => value !== '–' || ['FWHM', 'Elongation', 'Transparency'].includes(name),
  );
  return html`<dl class="figures">
    ${rows.map(
      ([name, value]) =>
        html`<div>
          <dt>${name}</dt>
          <dd>${value}</dd>
        </div>`,
    )}
  </dl>`;
}

function axisOf(frame: FrameView['frame']): string {
  const { angleDeg, coherence, axis } = frame.trail;
  if (angleDeg === null) return '–';
  const named = axis === null ? '' : axis === 'ra' ? ', right ascension' : ', declination';
  return `${degrees(angleDeg)}, coherence ${ratio(coherence)}${named}`;
}

function notesOf({ frame }: FrameView): SafeHtml | null {
  const lines = [
    ...Object.entries(frame.unmeasured).map(([figure, why]) => `${figure}: ${why}`),
    ...frame.warnings,
    ...(frame.scale?.conflicts ?? []),
  ];
  return lines.length === 0
    ? null
    : html`<ul class="quiet small">
        ${lines.map((line) => html`<li>${line}</li>`)}
      </ul>`;
}
