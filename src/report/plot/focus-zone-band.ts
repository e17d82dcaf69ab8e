import { html, type SafeHtml } from '../html.js';
import { fixed } from '../numbers.js';
import { at, type Area } from './svg.js';

/** A stretch of the height axis, in the drawing's units, and the corner of it where no curve runs. */
export interface ZonePlace {
  readonly topY: number;
  readonly bottomY: number;
  readonly label: 'top left' | 'top right' | 'bottom middle' | 'top middle';
}

/** The critical focus zone as a band across a plot, its width in micrometres said in it. */
export function focusZoneBand(
  totalMicron: number,
  area: Area,
  { topY, bottomY, label }: ZonePlace,
): SafeHtml {
  const [anchor, x] = label.endsWith('left')
    ? ['start', area.left + 6]
    : label.endsWith('right')
      ? ['end', area.left + area.width - 6]
      : ['middle', area.left + area.width / 2];
  return html`<rect
      class="gap"
      x="${at(area.left)}"
      y="${at(topY)}"
      width="${at(area.width)}"
      height="${at(bottomY - topY)}"
    /><text
      class="note"
      x="${at(x)}"
      y="${at(label.startsWith('top') ? topY + 14 : bottomY - 6)}"
      text-anchor="${anchor}"
      >critical focus zone, ${fixed(totalMicron, 0)} µm</text
    >`;
}
