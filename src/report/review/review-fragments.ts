import type { NightAssessment } from '../../causes/types.js';
import { html, type SafeHtml } from '../html.js';
import { frameRow } from '../panels/frames-table.js';
import { frameSummary, frameWords } from '../panels/frame-viewer.js';
import { verdictContent } from '../panels/verdict.js';
import { viewNight } from '../view.js';

/** The parts of the review page that follow a decision, as markup by their element's id: headline with strip and counts, rows, summaries and words of the subs. */
export function reviewFragments(night: NightAssessment): ReadonlyMap<string, string> {
  const view = viewNight(night, { pictures: false });
  const fragments = new Map<string, string>();
  const add = (id: string, content: SafeHtml): void => void fragments.set(id, content.text);
  add('verdict-now', verdictContent(view));
  for (const frame of view.frames) {
    // A row cannot stand outside a table.
    add(
      `t${frame.index}`,
      html`<table>
        <tbody>
          ${frameRow(frame, view)}
        </tbody>
      </table>`,
    );
    add(`s${frame.index}`, html`<details>${frameSummary(frame)}</details>`);
    add(`w${frame.index}`, frameWords(frame, view));
  }
  return fragments;
}

/** The fragments of `now` that are not as they were. */
export function changedFragments(
  before: ReadonlyMap<string, string>,
  now: ReadonlyMap<string, string>,
): Readonly<Record<string, string>> {
  return Object.fromEntries([...now].filter(([id, content]) => before.get(id) !== content));
}
