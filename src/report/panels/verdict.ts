import type { NightAssessment } from '../../causes/types.js';
import { html, type SafeHtml } from '../html.js';
import { arcsec, count, duration, pixels } from '../numbers.js';
import { reasonTitles, tellingReasons, type PageView } from '../view.js';
import type { Panel } from './panel.js';

/** The night in one sentence, a strip with one stroke a sub, and why the rejected ones were. */
export const verdict: Panel = {
  id: 'verdict',
  title: 'Verdict',
  draw: (view) => html`<div id="verdict-now">${verdictContent(view)}</div>`,
};

/** What follows the decisions: headline, strip, counts. */
export function verdictContent(view: PageView): SafeHtml {
  return html`<p class="headline">${headlineOf(view.night)}</p>
    ${strip(view)}${tally(view)}${width(view)}`;
}

/** The night in one sentence. */
export function headlineOf({ night: { summary } }: NightAssessment): string {
  if (summary.frames === 0) return 'No sub could be measured.';
  const light = summary.exposureSecondsKept > 0 ? `, ${duration(summary.exposureSecondsKept)} of light` : '';
  return `Keep ${summary.kept} of ${count(summary.frames, 'sub')}${light}.`;
}

function width(view: PageView): SafeHtml | null {
  const { medianFwhmArcsec, medianFwhmPx } = view.night.night.summary;
  if (medianFwhmPx === null) return null;
  const size =
    medianFwhmArcsec === null
      ? pixels(medianFwhmPx)
      : `${arcsec(medianFwhmArcsec)} (${pixels(medianFwhmPx)})`;
  return html`<p class="width">Median star width of the kept subs: ${size}.</p>`;
}

/** One stroke a sub in order of time: kept stands up and is full, rejected hangs down and is hollow. */
function strip(view: PageView): SafeHtml | null {
  if (view.frames.length < 2) return null;
  const n = view.frames.length;
  const pitch = 1000 / n;
  const stroke = Math.min(44, pitch * 0.7);
  const kept = view.frames.filter((frame) => frame.kept).length;
  const marks = view.frames.map(({ kept: isKept, index }) => {
    const x = ((index + 0.5) * pitch - stroke / 2).toFixed(2);
    return isKept
      ? html`<rect class="up m" data-f="${index}" x="${x}" y="4" width="${stroke.toFixed(2)}" height="26" />`
      : html`<rect
          class="down m"
          data-f="${index}"
          x="${x}"
          y="31"
          width="${stroke.toFixed(2)}"
          height="18"
        />`;
  });
  return html`<figure class="strip">
    <svg
      class="plot"
      viewBox="0 0 1000 54"
      preserveAspectRatio="none"
      role="img"
      aria-label="${`${kept} kept and ${n - kept} rejected subs in order of time`}"
    >
      ${marks}
      <line class="rule" x1="0" x2="1000" y1="30.5" y2="30.5" />
    </svg>
    <figcaption>One stroke a sub, in order of time: kept above the line, rejected below.</figcaption>
  </figure>`;
}

function tally(view: PageView): SafeHtml | null {
  const rejected = view.frames.filter((frame) => !frame.kept);
  if (rejected.length === 0) return null;
  const counts = new Map<string, number>();
  for (const { frame } of rejected) {
    // By the first reason alone, as the summary in words counts them: else the two never agree.
    const first = frame.reasons[0];
    if (first) counts.set(reasonTitles[first.code], (counts.get(reasonTitles[first.code]) ?? 0) + 1);
  }
  const parts = [...counts]
    .sort((a, b) => b[1] - a[1])
    .map(([title, n]) => html`<li><b>${n}</b> ${title}</li>`);
  return html`<div class="tally">
    <p>
      Rejected:
      <b>${rejected.length}</b
      >${rejected.some(({ frame }) => tellingReasons(frame).length > 1) ? ' (each under the first of its reasons)' : ''}
    </p>
    <ul>
      ${parts}
    </ul>
  </div>`;
}
