import type { NightAssessment } from '../../causes/types.js';
import { html } from '../html.js';
import { drawPage } from '../page/night-page.js';
import { pageScript } from '../page/page-script.js';
import { pageStyle } from '../page/page-style.js';
import { viewNight, type PageOptions } from '../view.js';
import { reviewScript, reviewStyle } from './review-script.js';

/** The night's page with the means to overrule a decision: keep, reject, or back to what was measured. */
export function reviewPage(night: NightAssessment, options: PageOptions): string {
  const bar = html`<section id="review" class="js" aria-labelledby="review-h">
    <h2 id="review-h">Your decision</h2>
    <p class="hint">
      Step through the subs with the arrow keys, then decide. Decisions are kept in a file beside the subs;
      the subs themselves are never touched.
    </p>
    <div class="decide" role="group" aria-label="Decide over the sub shown">
      <span id="review-frame" class="quiet"></span>
      <button type="button" data-decide="keep">Keep (K)</button>
      <button type="button" data-decide="reject">Reject (R)</button>
      <button type="button" data-decide="">As measured (M)</button>
      <output id="review-answer" aria-live="polite"></output>
    </div>
  </section>`;
  return drawPage(viewNight(night, options), options, {
    style: pageStyle + reviewStyle,
    scripts: [pageScript, reviewScript],
    connect: true,
    before: bar,
  });
}

/** The page for a browser that may not look: why, and what to do. */
export function refusalPage(why: string): string {
  return html`<!doctype html>
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width,initial-scale=1" />
        <title>starassay review: not open here</title>
      </head>
      <body>
        <h1>Not open here</h1>
        <p>${why}</p>
        <p>
          For safety the address works once, in one browser. Stop the command with Ctrl-C, start
          <code>starassay review</code> again, and open the new address that it prints. Decisions that were
          made already are kept.
        </p>
      </body>
    </html> `.text;
}
