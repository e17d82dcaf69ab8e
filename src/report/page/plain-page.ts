import { createHash } from 'node:crypto';
import { html, trusted, type HtmlPart, type SafeHtml } from '../html.js';
import { pageStyle } from './page-style.js';

/** What a page without script consists of. */
export interface PlainPage {
  readonly title: string;
  /** Beside the title, for example how many frames. */
  readonly extent: string;
  readonly version: string;
  /** Style rules of its own, after those of all pages. */
  readonly style: string;
  readonly sections: readonly HtmlPart[];
}

/** A self-contained page that fetches nothing and runs no script; its own style alone is let in, by its hash. */
export function plainPage({ title, extent, version, style, sections }: PlainPage): string {
  const sheet = `${pageStyle}${style}`;
  const hash = createHash('sha256').update(sheet).digest('base64');
  const policy = `default-src 'none'; style-src 'sha256-${hash}'; base-uri 'none'; form-action 'none'`;
  return html`<!doctype html>
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta http-equiv="Content-Security-Policy" content="${policy}" />
        <meta name="viewport" content="width=device-width,initial-scale=1" />
        <meta name="generator" content="starassay ${version}" />
        <title>${title}</title>
        ${trusted(`<style>${sheet}</style>`)}
      </head>
      <body>
        <header>
          <h1><b>${title}</b> · ${extent}</h1>
        </header>
        <main>${sections}</main>
      </body>
    </html> `.text;
}

/** The opening section of such a page: the verdict as a headline, then what to do. */
export function verdictSection(headline: string, advice: readonly string[]): SafeHtml {
  return html`<section id="verdict" aria-labelledby="verdict-h">
    <h2 id="verdict-h">Verdict</h2>
    <p class="headline">${headline}</p>
    <ul class="plain">
      ${advice.map((text) => html`<li>${text}</li>`)}
    </ul>
  </section>`;
}
