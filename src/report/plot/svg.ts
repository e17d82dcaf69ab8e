import { html, type SafeHtml, type HtmlPart } from '../html.js';

/** A plotting area inside an SVG, user units. */
export interface Area {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

/** A coordinate as short as the eye can tell: two decimals. */
export function at(value: number): string {
  return String(Math.round(value * 100) / 100);
}

/** A whole plot: title and description for those who do not see it; `id` must be unique in the page. */
export function svgPlot(
  plot: {
    readonly id: string;
    readonly title: string;
    readonly description: string;
    readonly width: number;
    readonly height: number;
    readonly kind?: string;
  },
  ...content: readonly HtmlPart[]
): SafeHtml {
  return html`<svg
    class="plot ${plot.kind ?? ''}"
    viewBox="0 0 ${at(plot.width)} ${at(plot.height)}"
    role="img"
    aria-labelledby="${plot.id}-t ${plot.id}-d"
  >
    <title id="${plot.id}-t">${plot.title}</title>
    <desc id="${plot.id}-d">${plot.description}</desc>
    ${content}
  </svg>`;
}
