import { scaleUtc } from 'd3-scale';
import type { MetricTrend, RigNote, Stretch } from '../../rig/types.js';
import { html, type SafeHtml } from '../html.js';
import { fixed, signed } from '../numbers.js';
import { heightScale, leftAxis } from '../plot/axis.js';
import { at, svgPlot, type Area } from '../plot/svg.js';
import { trendSentences } from './trend-words.js';

const WIDTH = 960;
const HEIGHT = 250;
const AREA: Area = { left: 64, top: 26, width: WIDTH - 84, height: HEIGHT - 62 };

/** Drawn spread of a night: half the spread over its frames to either side would hide the trend; a quarter of the height at most. */
const MOST_SPREAD = 0.25;

/**
 * One figure over months: nights as medians with the spread over their frames, control limits of each stretch, the slope, changes found, and
 * notes as marks, with the findings in words below. Points are those of the record; nothing is computed but places.
 */
export function trendPanel(trend: MetricTrend, notes: readonly RigNote[]): SafeHtml {
  const time = (date: string) => Date.parse(`${date}T00:00:00Z`);
  const first = time(trend.points[0].date);
  const last = time(trend.points[trend.points.length - 1].date);
  const day = 86_400_000;
  const x = scaleUtc()
    .domain([first - 2 * day, last + 2 * day])
    .range([AREA.left, AREA.left + AREA.width]);
  const y = heightScale(
    trend.points.map((point) => point.value),
    AREA,
    limitsShown(trend),
  );
  const clipped = (value: number) => Math.min(Math.max(y(value), AREA.top), AREA.top + AREA.height);
  const floor = AREA.top + AREA.height;
  const shownNotes = notes.filter(
    (note) => time(note.date) >= first - 2 * day && time(note.date) <= last + 2 * day,
  );
  const spreadLimit = MOST_SPREAD * Math.abs(y.domain()[1] - y.domain()[0]);

  const bands = trend.stretches.map(({ from, to, chart, startLevel, endLevel }) => {
    if (!chart) return null;
    const [left, right] = [x(time(from)) - 2, Math.max(x(time(to)) + 2, x(time(from)))];
    // The limits lean with the drift of the stretch.
    const lean = (endLevel - startLevel) / 2;
    const corners = [
      [left, chart.upperLimit - lean],
      [right, chart.upperLimit + lean],
      [right, chart.lowerLimit + lean],
      [left, chart.lowerLimit - lean],
    ];
    return html`<polygon
      class="band"
      points="${corners.map(([across, value]) => `${at(across)},${at(clipped(value))}`).join(' ')}"
    />`;
  });
  const marks = shownNotes.map((note, i) => {
    const place = at(x(time(note.date)));
    return html`<line
        class="flip"
        x1="${place}"
        x2="${place}"
        y1="${at(AREA.top - 6)}"
        y2="${at(floor)}"
      /><text class="notemark" x="${place}" y="${at(AREA.top - 10)}" text-anchor="middle"
        ><title>${note.date}: ${note.text}</title
        >${note.kind === 'logged' ? `note ${note.number}` : `turn ${i + 1}`}</text
      >`;
  });
  const steps = trend.changes.filter(({ kind }) => kind === 'step');
  const changes = steps.map((change) => {
    const place = at((x(time(change.date)) + x(time(change.previousDate))) / 2);
    return html`<line class="limit" x1="${place}" x2="${place}" y1="${at(AREA.top)}" y2="${at(floor)}"
      ><title>${change.date}: ${signed(change.size, trend.decimals)} ${trend.unit}</title></line
    >`;
  });
  const points = trend.points.map((point) => {
    const place = at(x(time(point.date)));
    const half = Math.min((point.spread ?? point.error ?? 0) / 2, spreadLimit);
    const outside = trend.outliers.includes(point.date);
    return html`<g
      ><title>
        ${point.date}: ${fixed(point.value, trend.decimals)}
        ${trend.unit}${point.spread === null ? '' : `, spread ${fixed(point.spread, trend.decimals)}`},
        ${point.frames} subs</title
      ><line
        class="spread"
        x1="${place}"
        x2="${place}"
        y1="${at(clipped(point.value - half))}"
        y2="${at(clipped(point.value + half))}"
      />${outside ? html`<path class="oddnight" d="M${place} ${at(y(point.value) - 5)}l5 5l-5 5l-5 -5z" />` : html`<circle class="nightdot" cx="${place}" cy="${at(y(point.value))}" r="2.6" />`}</g
    >`;
  });
  const words = trendSentences(trend);
  const plot = svgPlot(
    {
      id: `trend-${trend.metric}`,
      title: `${trend.title} over ${trend.points.length} nights`,
      description: words.join(' '),
      width: WIDTH,
      height: HEIGHT,
    },
    bands,
    leftAxis(y, AREA, 4),
    html`<line
      class="rule"
      x1="${at(AREA.left)}"
      x2="${at(AREA.left + AREA.width)}"
      y1="${at(floor)}"
      y2="${at(floor)}"
    />`,
    x
      .ticks(8)
      .map(
        (tick) =>
          html`<line
              class="rule"
              x1="${at(x(tick))}"
              x2="${at(x(tick))}"
              y1="${at(floor)}"
              y2="${at(floor + 4)}"
            /><text class="tick" x="${at(x(tick))}" y="${at(floor + 17)}" text-anchor="middle"
              >${dateTick(tick, last - first)}</text
            >`,
      ),
    slopeLine(trend, (date) => x(time(date)), clipped),
    marks,
    changes,
    points,
    html`<text class="name" x="${at(AREA.left)}" y="12">${trend.unit}</text>`,
  );
  return html`<section id="panel-${trend.metric}" aria-labelledby="h-${trend.metric}">
    <h2 id="h-${trend.metric}">${trend.title}</h2>
    <figure>
      <div class="scroller" tabindex="0" role="region" aria-label="${`${trend.title} over the months`}">
        ${plot}
      </div>
      <figcaption>${words.join(' ')}</figcaption>
    </figure>
  </section> `;
}

/** Limits worth making room for: those not so wide that they would flatten the nights. */
function limitsShown(trend: MetricTrend): number[] {
  const values = trend.points.map((point) => point.value);
  const [low, high] = [Math.min(...values), Math.max(...values)];
  const room = high - low;
  return trend.stretches
    .flatMap(({ chart }: Stretch) => (chart ? [chart.lowerLimit, chart.upperLimit] : []))
    .filter((limit) => limit > low - 0.5 * room && limit < high + 0.5 * room);
}

function slopeLine(
  trend: MetricTrend,
  x: (date: string) => number,
  y: (value: number) => number,
): SafeHtml | null {
  const line = trend.slopePerMonth;
  // With a change of level one line through everything would show what is not there.
  if (!line || trend.changes.length > 0) return null;
  const [from, to] = [trend.points[0].date, trend.points[trend.points.length - 1].date];
  const months = (Date.parse(to) - Date.parse(from)) / 86_400_000 / 30;
  return html`<line
    class="curve"
    x1="${at(x(from))}"
    y1="${at(y(line.intercept))}"
    x2="${at(x(to))}"
    y2="${at(y(line.intercept + line.slope * months))}"
  />`;
}

/** A date as short as the span allows. */
function dateTick(date: Date, spanMs: number): string {
  const iso = date.toISOString();
  return spanMs > 120 * 86_400_000 ? iso.slice(0, 7) : iso.slice(0, 10);
}
