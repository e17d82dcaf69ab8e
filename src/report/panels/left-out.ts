import { html } from '../html.js';
import type { Panel } from './panel.js';

/** Files that gave no figures, and warnings of the whole night. */
export const leftOut: Panel = {
  id: 'left-out',
  title: 'Left out, and warnings',
  draw: ({ night }) => {
    if (night.unreadable.length + night.setAside.length + night.warnings.length === 0) return null;
    return html`${
      night.unreadable.length > 0 &&
      html`<h3>Could not be read</h3>
        <ul>
          ${night.unreadable.map(({ file, error }) => html`<li><b>${file}</b>: ${error.message} <span class="quiet">${error.remedy}</span></li>`)}
        </ul>`
    }${
      night.setAside.length > 0 &&
      html`<h3>Set aside: not light frames</h3>
        <ul>
          ${night.setAside.map(({ file, kind }) => html`<li>${file} (${kind})</li>`)}
        </ul>`
    }${
      night.warnings.length > 0 &&
      html`<h3>Warnings</h3>
        <ul>
          ${night.warnings.map((warning) => html`<li>${warning}</li>`)}
        </ul>`
    }`;
  },
};
