import { html } from '../html.js';
import { count } from '../numbers.js';
import type { Panel } from './panel.js';

/** The night against the rig's earlier nights: what a night alone cannot show, and the spacing by the rig's own measure. */
export const history: Panel = {
  id: 'history',
  title: 'Against the rig’s earlier nights',
  draw: (view) => {
    const verdict = view.night.night.history;
    if (!verdict) return null;
    const { rig, nights, unusual, spacing } = verdict;
    const past = `${rig}, ${count(nights, 'earlier night')}`;
    return html`<p>
        ${
          unusual.length > 0
            ? `Out of the ordinary for this rig (${past}):`
            : nights === 0
              ? `Too few earlier nights of this rig (${rig}) to say what is normal.`
              : `Nothing out of the ordinary for this rig (${past}).`
        }
      </p>
      ${
        unusual.length > 0 &&
        html`<ul class="plain">
          ${unusual.map((finding) => html`<li>${finding.sentence}</li>`)}
        </ul>`
      }${spacing && html`<p class="advice">${spacing.sentence}</p>`}`;
  },
};
