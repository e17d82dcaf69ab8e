import { line } from 'd3-shape';
import { scaleLinear } from 'd3-scale';
import { html, type SafeHtml } from '../html.js';
import { percentOf, ratio } from '../numbers.js';
import { bottomAxis, heightScale, leftAxis } from '../plot/axis.js';
import { at, svgPlot, type Area } from '../plot/svg.js';
import type { PageView } from '../view.js';
import { behindThePlot, bothWidths, type Panel } from './panel.js';

const HEIGHT = 130;
const MAX_TABLE_ROWS = 25;

/** Sharpness and depth of the stack against the number of subs kept, best first; the present choice marked. */
export const whatIf: Panel = {
  id: 'what-if',
  title: 'What if you kept more, or fewer',
  draw: (view) => {
    const points = view.night.night.whatIf;
    if (points.length < 2) return null;
    const { kept } = view.night.night.summary;
    const step = Math.ceil(points.length / MAX_TABLE_ROWS);
    const listed = points.filter(
      (point, i) => i % step === 0 || point.kept === kept || i === points.length - 1,
    );
    return html`${bothWidths((width, suffix) => drawCurves(view, width, suffix))}
      <p class="caption">
        Subs are taken in the order of their worth to the stack. Depth is the signal to noise of point sources
        against stacking every sub: below 100 % something is lost, above it the poor subs were doing harm.
      </p>
      ${behindThePlot(
        'Stack against subs kept',
        ['Subs kept', `FWHM of the stack (${view.unit})`, 'Depth', 'Present choice'],
        listed.map((point) => [
          String(point.kept),
          ratio(point.fwhm),
          percentOf(point.depth),
          point.kept === kept ? 'yes' : '',
        ]),
      )}`;
  },
};

function drawCurves(view: PageView, width: number, suffix: string): SafeHtml {
  const points = view.night.night.whatIf;
  const { kept } = view.night.night.summary;
  const curves = [
    { name: `FWHM of the stack (${view.unit})`, id: 'fwhm', of: (i: number) => points[i]!.fwhm, text: ratio },
    {
      name: 'Depth (per cent of all subs)',
      id: 'depth',
      of: (i: number) => points[i]!.depth * 100,
      text: (value: number) => percentOf(value / 100),
    },
  ];
  const areas: Area[] = curves.map((_, row) => ({
    left: 52,
    top: 26 + row * (HEIGHT + 36),
    width: width - 72,
    height: HEIGHT,
  }));
  const x = scaleLinear()
    .domain([points[0]!.kept, points[points.length - 1]!.kept])
    .range([areas[0]!.left, areas[0]!.left + areas[0]!.width]);
  const chosen = points.findIndex((point) => point.kept === kept);
  const last = areas[areas.length - 1]!;
  return svgPlot(
    {
      id: `whatif-${suffix}`,
      title: 'Sharpness and depth of the stack against subs kept',
      description: `Two curves over the number of subs kept, best first; the present choice keeps ${kept}. The table below the plot holds the same figures.`,
      width,
      height: last.top + last.height + 40,
    },
    curves.map((curve, row) => {
      const area = areas[row]!;
      const values = points.map((_, i) => curve.of(i));
      const y = heightScale(values, area);
      const path =
        line<number>(
          (_, i) => Number(at(x(points[i]!.kept))),
          (value) => Number(at(y(value))),
        )(values) ?? '';
      return html`<g data-row="${curve.id}"
        ><text class="name" x="${at(area.left)}" y="${at(area.top - 8)}">${curve.name}</text
        >${leftAxis(y, area, 4)}<path
          class="curve"
          d="${path}"
        />${chosen >= 0 && presentChoice(x(kept), y(values[chosen]!), area, curve.text(values[chosen]!), width)}</g
      >`;
    }),
    bottomAxis(x, last, Math.min(points.length, width > 600 ? 10 : 5)),
    html`<text
      class="tick"
      x="${at(last.left + last.width)}"
      y="${at(last.top + last.height + 32)}"
      text-anchor="end"
      >subs kept</text
    >`,
  );
}

function presentChoice(x: number, y: number, area: Area, text: string, width: number): SafeHtml {
  // Both curves rise to the right: on the left there is room above them.
  const left = x > width * 0.25;
  return html`<line
      class="here"
      x1="${at(x)}"
      x2="${at(x)}"
      y1="${at(area.top)}"
      y2="${at(area.top + area.height)}"
    /><path class="heredot" d="M${at(x)} ${at(y - 6)}l6 6l-6 6l-6 -6Z" /><text
      class="name"
      x="${at(x + (left ? -10 : 10))}"
      y="${at(Math.max(area.top + 2, y - 8))}"
      text-anchor="${left ? 'end' : 'start'}"
      >${text}</text
    >`;
}
