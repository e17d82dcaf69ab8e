import { html, type SafeHtml } from '../html.js';
import type { PageView } from '../view.js';

/** One panel of the page: a title and a pure function from the view to markup; null when the night has nothing for it. */
export interface Panel {
  /** Stable name: anchor in the page. */
  readonly id: string;
  readonly title: string;
  readonly draw: (view: PageView) => SafeHtml | null;
}

/** A plot in two widths, of which the style sheet shows the one that fits; `draw` gets the width and a suffix for ids. `wide`: user units, of a plot that has the page to itself unless given. */
export function bothWidths(
  draw: (width: number, idSuffix: string) => SafeHtml | null,
  wide = 1080,
): SafeHtml | null {
  const wider = draw(wide, 'w');
  if (wider === null) return null;
  return html`<div class="scroller wide">${wider}</div>
    <div class="scroller narrow">${draw(372, 'n')}</div>`;
}

/** The table behind a plot, folded away. */
export function behindThePlot(
  caption: string,
  head: readonly string[],
  rows: readonly (readonly string[])[],
): SafeHtml {
  return html`<details class="behind">
    <summary>The same as a table</summary>
    <div class="tablebox" tabindex="0" role="region" aria-label="${caption}">
      <table>
        <caption>
          ${caption}
        </caption>
        <thead>
          <tr>
            ${head.map((name) => html`<th scope="col">${name}</th>`)}
          </tr>
        </thead>
        <tbody>
          ${rows.map(
            (row) =>
              html`<tr>
                ${row.map((cell, i) => (i === 0 ? html`<th scope="row">${cell}</th>` : html`<td>${cell}</td>`))}
              </tr>`,
          )}
        </tbody>
      </table>
    </div>
  </details>`;
}
