import { createHash } from 'node:crypto';
import type { NightAssessment } from '../../causes/types.js';
import { html, trusted, type SafeHtml } from '../html.js';
import { day } from '../numbers.js';
import type { PaletteName } from '../palette.js';
import { blurTextures } from '../panels/blur-budget.js';
import { panels } from '../panels/index.js';
import { markSymbols } from '../plot/marks.js';
import { viewNight, type PageOptions, type PageView } from '../view.js';
import { pageScript } from './page-script.js';
import { pageStyle } from './page-style.js';

const PALETTE_CHOICES: readonly (readonly [id: 'auto' | PaletteName, title: string])[] = [
  ['auto', 'as the system'],
  ['light', 'light'],
  ['dark', 'dark'],
  ['night', 'night (red)'],
];

/**
 * The report of a night: one self-contained HTML page, drawn from the record alone.
 *
 * Nothing is fetched (a Content-Security-Policy forbids it), only the page's own style and script run, by their hashes,
 * and every text of the record is escaped. Reads without JavaScript. A night without frames gives a page that says so.
 */
export function nightPage(night: NightAssessment, options: PageOptions): string {
  return drawPage(viewNight(night, options), options, {
    style: pageStyle,
    scripts: [pageScript],
    connect: false,
    before: null,
  });
}

/** What a variant of the page adds to it. */
export interface PageParts {
  readonly style: string;
  readonly scripts: readonly string[];
  /** Let scripts talk to where the page came from: only for a page served by this program. */
  readonly connect: boolean;
  /** Markup before the first panel. */
  readonly before: SafeHtml | null;
}

/** The page around the panels. */
export function drawPage(view: PageView, options: PageOptions, parts: PageParts): string {
  const drawn = panels.flatMap((panel) => {
    const content = panel.draw(view);
    return content === null ? [] : [{ panel, content }];
  });
  const title = titleOf(view);
  const policy = [
    "default-src 'none'",
    'img-src data:',
    `style-src ${hashOf(parts.style)}`,
    `script-src ${parts.scripts.map(hashOf).join(' ')}`,
    ...(parts.connect ? ["connect-src 'self'"] : []),
    "base-uri 'none'",
    "form-action 'none'",
  ].join('; ');
  const page = html`<!doctype html>
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta http-equiv="Content-Security-Policy" content="${policy}" />
        <meta name="viewport" content="width=device-width,initial-scale=1" />
        <meta name="referrer" content="no-referrer" />
        <meta name="generator" content="starassay ${view.night.version}" />
        <title>${title.join(', ')}</title>
        ${trusted(`<style>${parts.style}</style>`)}
      </head>
      <body>
        <svg class="plot defs" aria-hidden="true"><defs>${markSymbols()}${blurTextures()}</defs></svg>
        <header>
          <h1>${title.map((part, i) => (i === 0 ? html`<b>${part}</b>` : html` · ${part}`))}</h1>
          <fieldset class="palettes">
            <legend>Palette</legend>
            ${PALETTE_CHOICES.map(([id, name]) => html`<label><input type="radio" name="palette" id="palette-${id}" value="${id}" ${(options.palette ?? 'auto') === id && html` checked`} /> ${name}</label>`)}
          </fieldset>
        </header>
        <main>
          <nav aria-label="Panels">
            ${drawn.slice(1).map(({ panel }) => html`<a href="#${panel.id}">${panel.title}</a>`)}
          </nav>
          ${parts.before}${drawn.map(
            ({ panel, content }) =>
              html`<section id="${panel.id}" aria-labelledby="${panel.id}-h">
                <h2 id="${panel.id}-h">${panel.title}</h2>
                ${content}
              </section> `,
          )}
        </main>
        ${parts.scripts.map((script) => trusted(`<script>${script}</script>`))}
      </body>
    </html> `;
  return page.text;
}

/** Date and targets of the night. */
function titleOf(view: PageView): string[] {
  const days = [
    ...new Set(view.frames.flatMap(({ frame }) => (frame.header.dateObs ? [day(frame.header.dateObs)] : []))),
  ];
  const objects = [
    ...new Set(view.frames.flatMap(({ frame }) => (frame.header.object ? [frame.header.object] : []))),
  ];
  const date =
    days.length === 0
      ? 'Night without a date'
      : days.length === 1
        ? days[0]!
        : `${days[0]!} to ${days[days.length - 1]!}`;
  const targets = objects.length > 4 ? [...objects.slice(0, 4), `${objects.length - 4} more`] : objects;
  return [date, ...targets];
}

function hashOf(text: string): string {
  return `'sha256-${createHash('sha256').update(text).digest('base64')}'`;
}
