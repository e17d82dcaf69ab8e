import { scaleLinear } from 'd3-scale';
import { line } from 'd3-shape';
import type { LadderAssessment } from '../../night/ladder/index.js';
import { html, type SafeHtml } from '../html.js';
import { fixed } from '../numbers.js';
import { bottomAxis, leftAxis } from '../plot/axis.js';
import { at, svgPlot, type Area } from '../plot/svg.js';

/** The plotting area, with room for axes and words round it. */
function areaOf(width: number): Area {
  return { left: 56, top: 18, width: width - 76, height: width < 500 ? 200 : 240 };
}

/**
 * Corner stars to be expected at each spacing, focus set for the centre, with the centre's own size as a dashed line; arcsec where the
 * scale is known, else pixels. `width`: of the whole plot, user units; `suffix`: makes its name unique. Null without predictions.
 */
export function cornerPlot(ladder: LadderAssessment, width: number, suffix: string): SafeHtml | null {
  const area = areaOf(width);
  const { predictions } = ladder;
  if (predictions.length < 2) return null;
  const perPx = predictions.every((p) => p.cornerFwhmArcsec !== null)
    ? predictions[0]!.cornerFwhmArcsec! / predictions[0]!.cornerFwhmPx
    : null;
  const unit = perPx === null ? 'px' : '″';
  const points = predictions.map((p) => ({ x: p.spacingMm, y: p.cornerFwhmPx * (perPx ?? 1) }));
  const centre = predictions[0]!.centreFwhmPx * (perPx ?? 1);
  const dense = ladder.cornerCurve.map((p) => ({ x: p.spacingMm, y: p.cornerFwhmPx * (perPx ?? 1) }));
  const places = [...dense, ...points].map((p) => p.x);
  const x = scaleLinear()
    .domain([Math.min(...places), Math.max(...places)])
    .range([area.left, area.left + area.width]);
  const y = scaleLinear()
    .domain([0, 1.1 * Math.max(centre, ...[...dense, ...points].map((p) => p.y))])
    .nice()
    .range([area.top + area.height, area.top]);
  const curve =
    line<(typeof points)[number]>(
      (p) => x(p.x),
      (p) => y(p.y),
    )(dense) ?? '';
  return svgPlot(
    {
      id: `corner-${suffix}`,
      title: 'Corner stars to be expected',
      description: `FWHM ${points.map((p) => `${fixed(p.x, 2)} mm: ${fixed(p.y, 2)}${unit}`).join('; ')}; centre ${fixed(centre, 2)}${unit}.`,
      width,
      height: area.top + area.height + 46,
    },
    leftAxis(y, area, 5),
    bottomAxis(x, area, width < 500 ? 4 : 6),
    html`<line
        class="sagittal"
        x1="${at(area.left)}"
        x2="${at(area.left + area.width)}"
        y1="${at(y(centre))}"
        y2="${at(y(centre))}"
      /><text class="note" x="${at(area.left + area.width - 4)}" y="${at(y(centre) + 16)}" text-anchor="end"
        >centre, ${fixed(centre, 2)}${unit}</text
      ><path class="curve" d="${curve}" />`,
    points.map((p) => html`<circle class="dotT" cx="${at(x(p.x))}" cy="${at(y(p.y))}" r="3.5" />`),
    html`<text
        class="tick"
        x="${at(area.left + area.width / 2)}"
        y="${at(area.top + area.height + 38)}"
        text-anchor="middle"
        >spacing, mm</text
      ><text class="tick" x="${at(area.left - 6)}" y="12" text-anchor="end">FWHM, ${unit}</text>`,
  );
}
