import type { BlurBudget, JudgedFrame } from '../../night/types.js';
import { html, type SafeHtml } from '../html.js';
import { DASH, count, ratio } from '../numbers.js';
import { heightScale, leftAxis } from '../plot/axis.js';
import { at, svgPlot, type Area } from '../plot/svg.js';
import { drawGaps, drawTimeAxis, timeAxis } from '../plot/time-axis.js';
import { sizeIn, type FrameView, type PageView } from '../view.js';
import { behindThePlot, bothWidths, type Panel } from './panel.js';

/** Parts of the budget from the bottom up; the index is their colour and texture. */
export const blurParts = [
  'seeing',
  'focus',
  'tilt',
  'curvature',
  'coma',
  'tracking',
  'seeingOrFocus',
] as const;
type BlurPart = (typeof blurParts)[number];
/** What the parts leave of the width of the stars; comes on top. */
const REST = 'rest';
type BarPart = BlurPart | typeof REST;
/** Where the parts add up to this share of the width, nothing to speak of is left. */
const TOLD = 0.95;

const nameOf = (part: BarPart): string =>
  part === 'seeingOrFocus' ? 'seeing or focus' : part === REST ? 'not told apart' : part;
/** What may be seeing has the colour of seeing, and a texture of its own. */
const colourOf = (index: number): string =>
  index === blurParts.length ? 'blurrest' : `b${index === 6 ? 0 : index}`;

const HEIGHT = 190;

/** What each sub's stars owe their width to. */
export const blurBudget: Panel = {
  id: 'blur',
  title: 'Where the blur comes from',
  draw: (view) => {
    const budgeted = view.frames.flatMap((frame) => {
      const blur = budgetIn(view.unit, frame.frame);
      const fwhm = sizeIn(view.unit, frame.frame.fwhm);
      return blur !== null && stack(blur, null).total > 0 ? [{ ...frame, blur, fwhm }] : [];
    });
    if (budgeted.length === 0) return null;
    const { unit } = view;
    const anyRest = budgeted.some(({ blur, fwhm }) => restOf(blur, fwhm) > 0);
    const shown: readonly BarPart[] = anyRest ? [...blurParts, REST] : blurParts;
    return html`<ul class="legend">
        ${shown.map(
          (part, i) =>
            html`<li>
              <svg class="plot swatch" viewBox="0 0 16 16" aria-hidden="true">
                <rect class="${colourOf(i)}" width="16" height="16" />
                ${texture(i) && html`<rect fill="url(#${texture(i)!})" width="16" height="16" />`}</svg
              >${nameOf(part)}
            </li>`,
        )}
      </ul>
      ${bothWidths((width, suffix) => drawBudget(view, budgeted, unit, width, suffix))}
      <p class="caption">
        A bar is as high as the width of the stars (FWHM, ${unit}). Blur adds in squares, so each part takes
        its share of the
        square.${anyRest && ' What the parts leave of the width, where that is over 5 % of it, is not told apart: parts count as Gaussians, and the disc of a star out of focus is up to 1.7 times as wide at half its height, so that on a sub out of focus most of the rest may be focus. Refocusing, and looking whether it goes, tells.'}
        A part that cannot be told is left
        out.${budgeted.length < view.frames.length && ` ${count(view.frames.length - budgeted.length, 'sub')} without a budget.`}
      </p>
      ${behindThePlot(
        `Blur budget of each sub, FWHM-equivalent, ${unit}`,
        ['Sub', ...shown.map(nameOf), 'FWHM'],
        budgeted.map(({ frame, blur, fwhm }) => [
          frame.file,
          ...shown.map((part) => (part === REST ? restText(restOf(blur, fwhm)) : ratio(blur[part]))),
          ratio(fwhm),
        ]),
      )}`;
  },
};

/** A frame with its budget in the page's unit. */
interface Budgeted extends FrameView {
  readonly blur: BlurBudget;
  readonly fwhm: number | null;
}

/** A frame's budget in the page's unit; null without a budget, or without the scale to convert it. */
function budgetIn(unit: PageView['unit'], frame: JudgedFrame): BlurBudget | null {
  if (frame.blur === null || frame.blur.unit === unit) return frame.blur;
  if (frame.scale === null) return null;
  const factor = unit === 'arcsec' ? frame.scale.arcsecPerPx : 1 / frame.scale.arcsecPerPx;
  const converted = blurParts.map((part) => {
    const value = frame.blur![part] ?? null;
    return [part, value === null ? null : value * factor];
  });
  return { ...(Object.fromEntries(converted) as Omit<BlurBudget, 'unit'>), unit };
}

/** What the parts leave of a width, in squares; 0 where they reach it, or next to it, and without a width. */
function restOf(blur: BlurBudget, fwhm: number | null): number {
  const sum = squaresOf(blur).reduce((a, b) => a + b, 0);
  return fwhm === null || Math.sqrt(sum) >= TOLD * fwhm ? 0 : Math.sqrt(fwhm ** 2 - sum);
}

function restText(rest: number): string {
  return rest > 0 ? ratio(rest) : DASH;
}

function squaresOf(blur: BlurBudget): number[] {
  return blurParts.map((part) => Math.max(0, blur[part] ?? 0) ** 2);
}

/** Heights of a bar's parts: shares of the square sum, scaled to its root; what the parts leave of the width `fwhm` is the last one. */
export function stack(
  blur: BlurBudget,
  fwhm: number | null,
): {
  total: number;
  parts: { part: BarPart; index: number; height: number }[];
} {
  const names: readonly BarPart[] = [...blurParts, REST];
  const squares = [...squaresOf(blur), restOf(blur, fwhm) ** 2];
  const sum = squares.reduce((a, b) => a + b, 0);
  const total = Math.sqrt(sum);
  return {
    total,
    parts: names.flatMap((part, index) =>
      squares[index]! > 0 ? [{ part, index, height: (total * squares[index]!) / sum }] : [],
    ),
  };
}

function drawBudget(
  view: PageView,
  budgeted: readonly Budgeted[],
  unit: string,
  width: number,
  suffix: string,
): SafeHtml {
  const area: Area = { left: 52, top: 24, width: width - 60, height: HEIGHT };
  const axis = timeAxis(
    view.frames.map((frame) => frame.timeMs),
    area,
  );
  const bars = budgeted.map(({ blur, fwhm, index, kept }) => ({
    index,
    kept,
    x: axis.x[index]!,
    ...stack(blur, fwhm),
  }));
  const scale = heightScale(
    bars.map((bar) => bar.total),
    area,
    [0],
  ).domain([0, Math.max(...bars.map((bar) => bar.total)) * 1.05]);
  const barWidth = Math.max(0.6, Math.min(28, axis.pitch * 0.8));
  return svgPlot(
    {
      id: `blur-${suffix}`,
      title: 'Blur budget of each sub',
      description: `Stacked bars of ${[...blurParts, REST as BarPart].map(nameOf).join(', ')}, in ${unit}. The table below the plot holds the same figures.`,
      width,
      height: area.top + HEIGHT + 40,
    },
    html`<text class="name" x="${at(area.left)}" y="14">FWHM (${unit})</text>`,
    drawGaps(axis, area),
    leftAxis(scale, area, 5),
    bars.map((bar) => {
      let level = 0;
      return html`<g class="m" data-f="${bar.index}"
        >${bar.parts.map(({ part, index, height }) => {
          const bottom = level;
          level += height;
          const box = {
            x: at(bar.x - barWidth / 2),
            y: at(scale(level)),
            height: at(scale(bottom) - scale(level)),
          };
          const pattern = barWidth >= 3 ? texture(index) : null;
          return html`<rect
              class="${colourOf(index)}"
              data-part="${part}"
              x="${box.x}"
              y="${box.y}"
              width="${at(barWidth)}"
              height="${box.height}"
            />${pattern && html`<rect fill="url(#${pattern})" x="${box.x}" y="${box.y}" width="${at(barWidth)}" height="${box.height}" />`}`;
        })}${!bar.kept && html`<path class="strike" d="M${at(bar.x - 3)} ${at(area.top + area.height + 9)}l6 -6" />`}</g
      >`;
    }),
    drawTimeAxis(axis, { ...area, height: area.height + 10 }),
  );
}

/** Name of the pattern that marks a part besides its colour; seeing is plain, and so is focus. */
function texture(index: number): string | null {
  return index < 2 || index === blurParts.length ? null : `tx${index}`;
}

/** The patterns, to be placed once in the page. */
export function blurTextures(): SafeHtml {
  return html`<pattern
      id="tx2"
      width="5"
      height="5"
      patternUnits="userSpaceOnUse"
      patternTransform="rotate(45)"
      ><path class="texture" d="M0 0V5" /></pattern
    ><pattern id="tx3" width="5" height="5" patternUnits="userSpaceOnUse"
      ><circle class="texturedot" cx="2.5" cy="2.5" r="1.1" /></pattern
    ><pattern id="tx4" width="5" height="5" patternUnits="userSpaceOnUse"
      ><path class="texture" d="M0 2.5H5" /></pattern
    ><pattern id="tx5" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(-45)"
      ><path class="texture" d="M0 0V6M0 0H6" /></pattern
    ><pattern id="tx6" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(20)"
      ><path class="texture" d="M0 0V7"
    /></pattern>`;
}
