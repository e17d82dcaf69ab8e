import { createHash } from 'node:crypto';
import type { FoundChange, MetricTrend, RigTrends } from '../rig/types.js';
import { html, trusted, type SafeHtml } from './html.js';
import { count, fixed, signed } from './numbers.js';
import type { PaletteName } from './palette.js';
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
  const span = dates.length === 0 ? 'no nights' : `${dates[0]} to ${dates[dates.length - 1]}`;
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
            <b>${trends.rig.name}</b> · ${span}${trends.filter !== null && html` · filter ${trends.filter}`}
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

function headline(metrics: readonly MetricTrend[], nights: number): string {
  if (nights === 0) return 'No night of this rig was recorded in that time.';
  const own = metrics.filter(ownDoing);
  const dates = [...new Set(own.flatMap((metric) => metric.changes.map((change) => change.date)))].sort();
  const drifts = own
    .filter((metric) => metric.driftPerMonth !== 0)
    .map((metric) => metric.title.toLowerCase());
  const changed =
    dates.length === 0
      ? 'the rig holds'
      : `the rig changed ${dates.length > 3 ? `${dates.length} times, last ` : ''}on ${dates.slice(-3).join(', ')}`;
  const drifting =
    drifts.length === 0
      ? ''
      : `, and ${drifts[0]}${drifts.length > 1 ? ` and ${count(drifts.length - 1, 'other figure')}` : ''} ${drifts.length > 1 ? 'drift' : 'drifts'}`;
  return `${count(nights, 'night')}: ${changed}${drifting}.`;
}

function ownDoing(metric: MetricTrend): boolean {
  return metric.subject !== 'sky' && metric.subject !== 'all';
}

interface ChangeOfFigure {
  readonly metric: MetricTrend;
  readonly change: FoundChange;
}

/** What changed, date by date: the rig's own figures first, those that the sky sways folded away. */
function changesSection(trends: RigTrends): SafeHtml | null {
  const all = trends.metrics.flatMap((metric) => metric.changes.map((change) => ({ metric, change })));
  if (all.length === 0) return null;
  const own = all.filter(({ metric }) => ownDoing(metric));
  const sky = all.filter(({ metric }) => !ownDoing(metric));
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

function byDate(changes: readonly ChangeOfFigure[], explained: boolean): SafeHtml {
  const dates = [...new Set(changes.map(({ change }) => change.date))].sort();
  return html`<ol class="changes">
    ${dates.map((date) => {
      const here = changes.filter(({ change }) => change.date === date);
      const notes = [...new Set(here.flatMap(({ change }) => change.note?.text ?? []))];
      return html`<li>
        <h3>${date}</h3>
        ${explained && html`<p>${notes.length > 0 ? notes.map((note) => `after “${note}”`).join(', ') : 'no note explains it'}</p>`}
        <ul>
          ${here.map(changeOf)}
        </ul>
      </li>`;
    })}
  </ol>`;
}

function changeOf({ metric, change }: ChangeOfFigure): SafeHtml {
  const value = (n: number) => fixed(n, metric.decimals);
  const unit = metric.unit === '' ? '' : ` ${metric.unit}`;
  return html`<li>
    <a href="#panel-${metric.metric}">${metric.title}</a> ${value(change.before)} →
    ${value(change.after)}${unit}
    <span class="quiet">(${signed(change.size, metric.decimals)} ± ${value(change.error)})</span>
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
