import {
  symbol,
  symbolCircle,
  symbolDiamond,
  symbolSquare,
  symbolStar,
  symbolTriangle,
  symbolWye,
  type SymbolType,
} from 'd3-shape';
import { html, type SafeHtml } from '../html.js';
import { at } from './svg.js';

const SHAPES: readonly SymbolType[] = [
  symbolCircle,
  symbolSquare,
  symbolTriangle,
  symbolDiamond,
  symbolStar,
  symbolWye,
];
/** Names of the shapes, for legends read aloud. */
const SHAPE_NAMES = ['circle', 'square', 'triangle', 'diamond', 'star', 'three-armed mark'] as const;

/** Which of the six shapes and colours a group has; a seventh group starts over. */
export function markIndex(group: number): number {
  return group % SHAPES.length;
}

/** The shape of a group in words. */
export function markName(group: number): string {
  return SHAPE_NAMES[markIndex(group)]!;
}

/**
 * The two symbols of each shape, to be placed once in the page: `k0` for a kept frame (filled) and `r0` for a rejected one
 * (hollow and struck through), so that the decision shows without colour.
 */
export function markSymbols(): SafeHtml {
  return html`${SHAPES.map((shape, i) => {
    const path = symbol(shape, 64)() ?? '';
    return html`<g id="k${i}"><path class="markkept mark${i}" d="${path}" /></g
      ><g id="r${i}"
        ><path class="markrefused mark${i}" d="${path}" /><path class="strike" d="M-6 6L6 -6"
      /></g>`;
  })}`;
}

/** One mark of a frame at a place of a plot. */
export function mark(
  x: number,
  y: number,
  group: number,
  kept: boolean,
  frameIndex: number,
  scale: number,
): SafeHtml {
  return html`<use
    class="m"
    data-f="${frameIndex}"
    href="#${kept ? 'k' : 'r'}${markIndex(group)}"
    transform="translate(${at(x)} ${at(y)})${scale === 1 ? '' : ` scale(${at(scale)})`}"
  />`;
}
