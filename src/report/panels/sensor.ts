import type { CornerFigure } from '../../field/types.js';
import type { OpticalState } from '../../night/types.js';
import { html, type SafeHtml } from '../html.js';
import { degrees, fixed, percentOf, ratio, signed, withError } from '../numbers.js';
import { cornersReport, subjectUnit, type CornersSubject } from '../corners/index.js';
import { describeMap, drawSensorMap } from '../plot/sensor-map.js';
import { svgPlot } from '../plot/svg.js';
import type { FrameView, PageView } from '../view.js';
import { frameAtlas, frameSensorMap, picture, sensorInput } from './frame-pictures.js';
import { behindThePlot, type Panel } from './panel.js';

/** The pattern over the sensor: per group all its kept subs together and its softest sub, and what the joint fit of the night says. */
export const sensor: Panel = {
  id: 'sensor',
  title: 'Over the sensor',
  draw: (view) => {
    if (!view.frames.some(({ frame }) => frame.field.cells.length > 0)) return null;
    const subjects = cornersReport(view.night).subjects.filter(({ field }) => field.cells.length > 0);
    const figures = subjects.flatMap((subject, i) => {
      const softest = softestOf(view, subject.name);
      const apart = softest !== null && (subject.files.length > 1 || subject.files[0] !== softest.frame.file);
      return [groupFigure(view, subject, i), apart && frameFigure(view, softest)].filter(
        (figure) => figure !== false,
      );
    });
    return html`<div class="maps">${figures.slice(0, MAX_MAPS)}</div>
      ${view.night.optics.map((state, i) => stateTable(state, i, view.night.optics.length))}`;
  },
};

/** Maps beyond this crowd the page; every sub has its own in the frame viewer. */
const MAX_MAPS = 6;

function softestOf(view: PageView, group: string): FrameView | null {
  const members = view.frames.filter(
    ({ frame }) => frame.group === group && frame.field.cells.length > 0 && frame.fwhm.px !== null,
  );
  return members.reduce<FrameView | null>(
    (most, view) => (most === null || view.frame.fwhm.px! > most.frame.fwhm.px! ? view : most),
    null,
  );
}

/** Map and star atlas of all kept subs of a group. */
function groupFigure(view: PageView, subject: CornersSubject, index: number): SafeHtml {
  const anyKept = view.frames.some(({ frame, kept }) => kept && frame.group === subject.name);
  const many = subject.files.length > 1;
  const what = `${many ? `${anyKept ? 'all' : 'no sub kept: all'} ${subject.files.length} ` : ''}${anyKept ? 'kept ' : ''}${many ? 'subs together' : 'sub'}`;
  const unit = view.unit === 'arcsec' ? subjectUnit(subject) : { perPx: 1, sign: ' px' };
  const map = drawSensorMap(
    {
      field: subject.field,
      widthPx: subject.widthPx,
      heightPx: subject.heightPx,
      unitPerPx: unit.perPx,
      unitSign: unit.sign,
      sensorTilt: subject.sensorTilt,
    },
    420,
  );
  const drawing = svgPlot(
    {
      id: `map-group-${index}`,
      title: `Sensor map of ${subject.name}, ${what}`,
      description: map.description,
      width: map.width,
      height: map.height,
      kind: 'sensormap',
    },
    map.content,
  );
  const atlas = picture(
    view.groupAtlases.get(subject.name) ?? null,
    'atlas',
    `Star atlas of ${subject.name}, ${what}: the mean star of each part of the sensor, in its place`,
  );
  const group = view.groupNames.length > 1 ? `${subject.name}, ` : '';
  return html`<figure class="map">
    <div class="mapbox">${drawing}${view.pictures && atlas}</div>
    <figcaption>
      <b>${group}${what}</b><br />${map.description}${
        view.pictures &&
        atlas &&
        ' The star atlas shows the mean star of each part of the sensor, each to its own peak.'
      }
    </figcaption>
    ${cornersTable(`Corners of ${subject.name}, ${what}`, subject.field.corners, view, unit.perPx)}
  </figure>`;
}

function frameFigure(view: PageView, pick: FrameView): SafeHtml {
  const { frame, index } = pick;
  const group = view.groupNames.length > 1 ? `${frame.group}, ` : '';
  const perPx = view.unit === 'arcsec' ? (frame.scale?.arcsecPerPx ?? null) : 1;
  return html`<figure class="map">
    <div class="mapbox">${frameSensorMap(view, pick, 'hero')}${view.pictures && frameAtlas(frame)}</div>
    <figcaption>
      <b>${group}softest sub</b> <a href="#f${index}">${frame.file}</a
      ><br />${describeMap(sensorInput(view, pick))}
    </figcaption>
    ${cornersTable(`Corners of ${frame.file}`, frame.field.corners, view, perPx)}
  </figure>`;
}

/** Corner figures are in pixels; `perPx` brings them to the page's unit, null: unknown. */
function cornersTable(
  caption: string,
  corners: readonly CornerFigure[],
  view: PageView,
  perPx: number | null,
): SafeHtml {
  return behindThePlot(
    caption,
    ['Corner', `FWHM (${view.unit})`, 'Elongation', 'Axis', 'Radial (+) or tangential (−)', 'Stars'],
    corners.map((corner) => [
      corner.name,
      ratio(corner.fwhm === null || perPx === null ? null : corner.fwhm * perPx),
      ratio(corner.elongation),
      degrees(corner.angleDeg),
      signed(corner.radial, 2),
      String(corner.stars),
    ]),
  );
}

function stateTable(state: OpticalState, index: number, states: number): SafeHtml {
  const unit = state.unit === 'micron' ? 'micron' : 'px of blur';
  const rows: [string, string][] = [];
  if (state.tilt) {
    const angle = state.tilt.angleArcmin === null ? '' : `, ${fixed(state.tilt.angleArcmin, 1)}′`;
    rows.push([
      'Sensor tilt, corner to corner',
      `${withError(state.tilt.span, state.tilt.spanError, unit)} towards ${degrees(state.tilt.directionDeg)}${angle}`,
    ]);
  }
  if (state.curvature)
    rows.push([
      'Field curvature at the corner',
      withError(state.curvature.corner, state.curvature.error, unit),
    ]);
  if (state.astigmatism)
    rows.push([
      'Astigmatism at the corner',
      withError(state.astigmatism.corner, state.astigmatism.error, unit),
    ]);
  if (state.coma) rows.push(['Coma', withError(state.coma.strength, state.coma.error)]);
  rows.push(['Pattern explained by the fit', percentOf(state.explainedVariance)]);
  const signs = state.signsKnown
    ? 'Subs at different focus fixed the signs.'
    : 'The subs lie too close in focus to fix the signs: a focus sweep would.';
  return html`<div class="state">
    <h3>
      ${state.frames === 1 ? 'The one sub, fitted' : `All ${state.frames} subs fitted together`}${states > 1 && ` (set-up ${index + 1})`}
    </h3>
    <dl class="figures">
      ${rows.map(
        ([name, value]) =>
          html`<div>
            <dt>${name}</dt>
            <dd>${value}</dd>
          </div>`,
      )}
    </dl>
    <p class="caption">${signs}</p>
  </div>`;
}
