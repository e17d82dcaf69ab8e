import { createHash } from 'node:crypto';
import type { MetricTrend, RigTrends } from '../rig/types.js';
import { html, trusted, type SafeHtml } from './html.js';
import { count, fixed, plusMinusSigned, signed } from './numbers.js';
import type { PaletteName } from './palette.js';
import { noteWords } from './rig/note-words.js';
import { rigEvents, type RigEvent } from './rig/rig-events.js';
import { rigPageStyle } from './rig/rig-page-style.js';
import { trendPanel } from './rig/trend-panel.js';

const PALETTES: readonly (readonly [id: 'auto' | PaletteName, title: string])[] = [
  ['auto', 'as the system'],
  ['light', 'light'],
  ['dark', 'dark'],
  ['night', 'night (red)'],
];

/**
 * A rig's history as one self-contained HTML page, drawn from the record alone: changes found, notes, and a panel for each figure.
 *
 * Nothing is fetched and no script runs; every text of the record is escaped. A rig without nights gives a page that says so.
 */
export function rigPage(trends: RigTrends, palette: PaletteName | 'auto' = 'auto'): string {
  const style = createHash('sha256').update(rigPageStyle).digest('base64');
  const policy = `default-src 'none'; style-src 'sha256-${style}'; base-uri 'none'; form-action 'none'`;
  const dates = trends.metrics.flatMap((metric) => metric.points.map((point) => point.date)).sort();
  const [first, last] = [dates[0], dates[dates.length - 1]];
  const span = dates.length === 0 ? 'no nights' : `${first} to ${last}`;
  const nights = new Set(dates).size;
  const page = html`<!doctype html>
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta http-equiv="Content-Security-Policy" content="${policy}" />
        <meta name="viewport" content="width=device-width,initial-scale=1" />
        <meta name="referrer" content="no-referrer" />
        <meta name="generator" content="starassay ${trends.version}" />
        <title>${trends.rig.name}, ${span}</title>
        ${trusted(`<style>${rigPageStyle}</style>`)}
      </head>
      <body>
        <header>
          <h1>
            <b>${trends.rig.name}</b> ·
            ${dates.length === 0 ? span : html`${wholeDate(first)} to ${wholeDate(last)}`}${trends.filter !== null && html` · filter ${trends.filter}`}
          </h1>
          <fieldset class="palettes">
            <legend>Palette</legend>
            ${PALETTES.map(([id, name]) => html`<label><input type="radio" name="palette" id="palette-${id}" value="${id}" ${palette === id && html` checked`} /> ${name}</label>`)}
          </fieldset>
        </header>
        <main>
          <p class="headline">${headline(trends.metrics, nights)}</p>
          <nav aria-label="Panels">
            ${trends.metrics.map(({ metric, title }) => html`<a href="#panel-${metric}">${title}</a>`)}
          </nav>
          ${changesSection(trends)}${notesSection(trends)}${trends.metrics.map((metric) => trendPanel(metric, trends.notes))}
        </main>
        <footer>
          <p>
            A dot is the median of a night (the value of its joint fit for tilt, curvature and astigmatism),
            its line half the spread over the subs to either side. Bands: control limits for individuals,
            three sigma from night to night (NIST/SEMATECH e-Handbook, 6.3.2). Diamonds lie outside them.
            Dashed lines: changes found without being told. Dotted lines: notes. Line through the dots:
            Theil-Sen slope.
          </p>
          ${absentText(trends)}
        </footer>
      </body>
    </html> `;
  return page.text;
}

function headline(metrics: readonly MetricTrend[], nights: number): SafeHtml {
  if (nights === 0) return html`No night of this rig was recorded in that time.`;
  const events = rigEvents(metrics.filter(ownDoing));
  const steps = events.filter((event) => event.kind === 'step');
  const drifts = events.filter((event) => event.kind === 'drift');
  const last = steps[steps.length - 1];
  const parts = [
    last &&
      (steps.length === 1
        ? html`a sudden change on ${wholeDate(last.date)}`
        : html`${count(steps.length, 'sudden change')}, the last on ${wholeDate(last.date)}`),
    drifts.length > 0 && (drifts.length === 1 ? 'a slow drift' : count(drifts.length, 'slow drift')),
  ].filter((part) => part !== undefined && part !== false);
  const found = parts.map((part, i) => html`${i > 0 && ', and '}${part}`);
  return html`${count(nights, 'night')}: ${found.length > 0 ? found : 'the rig holds'}.`;
}

/** A date that is not broken at the end of a line. */
function wholeDate(date: string): SafeHtml {
  return html`<span class="date">${date}</span>`;
}

function ownDoing(metric: MetricTrend): boolean {
  return metric.subject !== 'sky' && metric.subject !== 'all';
}

/** What changed, date by date: the rig's own figures first, those that the sky sways folded away. */
function changesSection(trends: RigTrends): SafeHtml | null {
  const own = rigEvents(trends.metrics.filter(ownDoing));
  const sky = rigEvents(trends.metrics.filter((metric) => !ownDoing(metric)));
  if (own.length + sky.length === 0) return null;
  return html`<section id="changes" aria-labelledby="changes-h">
    <h2 id="changes-h">Changes found</h2>
    ${own.length === 0 ? html`<p>None of the rig’s own figures changed for good.</p>` : byDate(own, true)}${
      sky.length > 0 &&
      html`<details class="others">
        <summary>Figures that the sky sways too: ${count(sky.length, 'change')}</summary>
        ${byDate(sky, false)}
      </details>`
    }
  </section> `;
}

function byDate(events: readonly RigEvent[], explained: boolean): SafeHtml {
  return html`<ol class="changes">
    ${events.map((event) =>
      event.kind === 'step'
        ? html`<li>
            <h3>${wholeDate(event.date)}</h3>
            ${explained && html`<p>at once, ${explanation(event)}</p>`}
            <ul>
              ${event.figures.map(({ metric, change }) => figureLine(metric, change.before, change.after, `${plusMinusSigned(change.size, change.error, metric.decimals)}${change.date === event.date ? '' : `, from ${change.date} on`}`))}
            </ul>
          </li>`
        : html`<li>
            <h3>${wholeDate(event.date)} to ${wholeDate(event.to)}</h3>
            <p>slowly</p>
            <ul>
              ${event.figures.map(({ metric, stretch }) => figureLine(metric, stretch.startLevel, stretch.endLevel, `in ${count(stretch.nights, 'night')}`))}
            </ul>
          </li>`,
    )}
  </ol>`;
}

function explanation(event: RigEvent & { kind: 'step' }): string {
  const notes = event.figures.flatMap(({ change }) => change.note ?? []);
  const words = [...new Set(notes.map((note) => noteWords(note, event.date)))];
  return words.length > 0 ? words.join(', ') : 'with no note to explain it';
}

function figureLine(metric: MetricTrend, before: number, after: number, remark: string): SafeHtml {
  const value = (n: number) => fixed(n, metric.decimals);
  const unit = metric.unit === '' ? '' : ` ${metric.unit}`;
  return html`<li>
    <a href="#panel-${metric.metric}">${metric.title}</a> ${value(before)} → ${value(after)}${unit}
    <span class="quiet">(${remark})</span>
  </li>`;
}

function notesSection(trends: RigTrends): SafeHtml | null {
  if (trends.notes.length === 0) return null;
  return html`<section id="notes" aria-labelledby="notes-h">
    <h2 id="notes-h">Notes</h2>
    <ul class="plain">
      ${trends.notes.map((note) => html`<li>${note.date}: ${note.text}${note.spacingMm !== null && html` (spacing ${signed(note.spacingMm, 2)} mm)`} <span class="quiet">${note.kind === 'logged' ? `note ${note.number}` : 'seen in the headers'}</span></li>`)}
    </ul>
  </section> `;
}

function absentText(trends: RigTrends): SafeHtml | null {
  const absent = Object.entries(trends.absent);
  if (absent.length === 0) return null;
  return html`<p>Not shown: ${absent.map(([code, why]) => `${code} (${why})`).join(', ')}.</p>`;
}
