import type { CauseFinding, Evidence } from '../../causes/types.js';
import { html, type SafeHtml } from '../html.js';
import {
  confidenceWords,
  count,
  measured,
  percentOf,
  withError,
  withSigns,
  worthAdvice,
} from '../numbers.js';
import type { PageView } from '../view.js';
import type { Panel } from './panel.js';

/** What went wrong, how sure that is, what it rests on, and what to do about it before the next night. */
export const causes: Panel = {
  id: 'causes',
  title: 'Before the next night',
  draw: (view) => {
    const all = view.night.night.causes;
    const found = all.filter((cause) => cause.answer === 'found').sort((a, b) => b.confidence - a.confidence);
    const sure = found.filter((cause) => cause.confidence >= worthAdvice);
    const weak = found.filter((cause) => cause.confidence < worthAdvice);
    return html`${
      sure.length === 0
        ? html`<p>Nothing was found that asks for a change of the rig.</p>`
        : html`<ol class="findings">
            ${sure.map((cause) => finding(cause, view))}
          </ol>`
    }${
      weak.length > 0 &&
      html`<details class="others">
        <summary>Not ruled out, on weak evidence: ${weak.length}</summary>
        <ol class="findings">
          ${weak.map((cause) => finding(cause, view))}
        </ol>
      </details>`
    }${others(
      'Looked for and not found',
      all.filter((cause) => cause.answer === 'clear'),
    )}${others(
      'Cannot be told from this night',
      all.filter((cause) => cause.answer === 'cannot-tell'),
    )}`;
  },
};

function finding(cause: CauseFinding, view: PageView): SafeHtml {
  return html`<li class="finding" id="cause-${cause.code}">
    <h3>${cause.title}</h3>
    ${gauge(cause.confidence)}
    <p class="advice">${withSigns(cause.advice)}</p>
    ${evidenceTable(cause)}${framesOf(cause, view)}
  </li>`;
}

/** Ten small steps, the filled ones higher as well as darker. */
function gauge(confidence: number): SafeHtml {
  const filled = Math.round(confidence * 10);
  return html`<p class="sure">
    <svg class="gauge" viewBox="0 0 100 12" aria-hidden="true">
      ${Array.from({ length: 10 }, (_, i) =>
        i < filled
          ? html`<rect class="full" x="${i * 10}" y="0" width="8" height="12" />`
          : html`<rect class="empty" x="${i * 10}" y="9" width="8" height="3" />`,
      )}
    </svg>
    ${confidenceWords(confidence)} (${percentOf(confidence)})
  </p>`;
}

function evidenceTable(cause: CauseFinding): SafeHtml {
  const limit = cause.evidence.some((evidence) => evidence.limit !== undefined);
  return html`<div class="tablebox" tabindex="0" role="region" aria-label="${`Evidence for ${cause.title}`}">
    <table class="evidence">
      <thead>
        <tr>
          <th scope="col">Evidence</th>
          <th scope="col" class="n">Measured</th>
          ${limit && html`<th scope="col" class="n">Limit</th>`}
        </tr>
      </thead>
      <tbody>
        ${cause.evidence.map(
          (evidence) =>
            html`<tr>
              <th scope="row">${evidence.what}${basis(evidence)}</th>
              <td class="n">${withError(evidence.value, evidence.error, evidence.unit)}</td>
              ${limit && html`<td class="n bound">${evidence.limit !== undefined && measured(evidence.limit, evidence.unit)}</td>`}
            </tr>`,
        )}
      </tbody>
    </table>
  </div>`;
}

/** Where on the sensor a figure was taken, and from how many stars. */
function basis({ region, stars }: Evidence): string {
  const parts = [region, stars === undefined ? undefined : count(stars, 'star')].filter(
    (part) => part !== undefined && part !== '',
  );
  return parts.length === 0 ? '' : ` (${parts.join(', ')})`;
}

function framesOf(cause: CauseFinding, view: PageView): SafeHtml | null {
  if (cause.frames.length === 0) return null;
  const names = new Set(cause.frames);
  const links = view.frames.filter(({ frame }) => names.has(frame.file));
  return html`<details>
    <summary>${count(cause.frames.length, 'sub')} concerned</summary>
    <p class="links">${links.map(({ frame, index }) => html`<a href="#f${index}">${frame.file}</a> `)}</p>
  </details>`;
}

function others(title: string, list: readonly CauseFinding[]): SafeHtml | null {
  if (list.length === 0) return null;
  return html`<details class="others">
    <summary>${title}: ${list.length}</summary>
    <dl>
      ${list.map(
        (cause) =>
          html`<dt>${cause.title}</dt>
            <dd>${withSigns(cause.why)}</dd>`,
      )}
    </dl>
  </details>`;
}
