import { scaleLinear, type ScaleLinear } from 'd3-scale';
import { html, type SafeHtml } from '../html.js';
import { at, type Area } from './svg.js';

export type LinearScale = ScaleLinear<number, number>;

/** A vertical scale over `values`, with room around them; a single value gets a scale about itself. Empty: 0 to 1. */
export function heightScale(
  values: readonly number[],
  area: Area,
  include: readonly number[] = [],
): LinearScale {
  const all = [...values, ...include].filter(Number.isFinite);
  let low = all.length > 0 ? Math.min(...all) : 0;
  let high = all.length > 0 ? Math.max(...all) : 1;
  const room = high > low ? (high - low) * 0.08 : Math.max(Math.abs(high) * 0.1, 0.5);
  low -= room;
  high += room;
  return scaleLinear()
    .domain([low, high])
    .range([area.top + area.height, area.top]);
}

/** Grid lines and their figures at the left of an area. */
export function leftAxis(scale: LinearScale, area: Area, ticks: number): SafeHtml {
  const format = scale.tickFormat(ticks);
  return html`<g class="axis left"
    >${scale.ticks(ticks).map((value) => {
      const y = at(scale(value));
      return html`<line
          class="grid"
          x1="${at(area.left)}"
          x2="${at(area.left + area.width)}"
          y1="${y}"
          y2="${y}"
        /><text class="tick" x="${at(area.left - 6)}" y="${y}" dy="0.32em" text-anchor="end"
          >${format(value).replace(/,/g, '')}</text
        >`;
    })}</g
  >`;
}

/** Figures under an area for a linear horizontal scale. */
export function bottomAxis(scale: LinearScale, area: Area, ticks: number): SafeHtml {
  const y = area.top + area.height;
  const format = scale.tickFormat(ticks);
  return html`<g class="axis bottom"
    ><line
      class="rule"
      x1="${at(area.left)}"
      x2="${at(area.left + area.width)}"
      y1="${at(y)}"
      y2="${at(y)}"
    />${scale
      .ticks(ticks)
      .map(
        (value) =>
          html`<line
              class="rule"
              x1="${at(scale(value))}"
              x2="${at(scale(value))}"
              y1="${at(y)}"
              y2="${at(y + 4)}"
            /><text class="tick" x="${at(scale(value))}" y="${at(y + 16)}" text-anchor="middle"
              >${format(value).replace(/,/g, '')}</text
            >`,
      )}</g
  >`;
}
