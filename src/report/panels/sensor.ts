import type { OpticalState } from '../../night/types.js';
import { html, type SafeHtml } from '../html.js';
import { degrees, fixed, percentOf, ratio, signed, withError } from '../numbers.js';
import { describeMap } from '../plot/sensor-map.js';
import { sizeIn, type FrameView, type PageView } from '../view.js';
import { frameAtlas, frameSensorMap, sensorInput } from './frame-pictures.js';
import { behindThePlot, type Panel } from './panel.js';

/** The pattern over the sensor: per group the most typical kept sub and the worst, and what the joint fit of the night says. */
export const sensor: Panel = {
  id: 'sensor',
  title: 'Over the sensor',
  draw: (view) => {
    if (!view.frames.some(({ frame }) => frame.field.cells.length > 0)) return null;
    const chosen = view.groupNames.flatMap((_, group) => typicalAndWorst(view, group)).slice(0, MAX_MAPS);
    return html`<div class="maps">${chosen.map((pick) => mapFigure(view, pick))}</div>
      ${view.night.optics.map((state, i) => stateTable(state, i, view.night.optics.length))}`;
  },
};

/** Maps beyond this crowd the page; every sub has its own in the frame viewer. */
const MAX_MAPS = 6;

interface Pick {
  readonly view: FrameView;
  readonly why: string;
}

function typicalAndWorst(view: PageView, group: number): Pick[] {
  const members = view.frames.filter(
    (frame) => frame.group === group && frame.frame.field.cells.length > 0 && frame.frame.fwhm.px !== null,
  );
  if (members.length === 0) return [];
  const summary = view.night.groups.find((entry) => entry.name === view.groupNames[group]);
  const reference = summary?.reference.fwhmPx ?? members[0]!.frame.fwhm.px!;
  const kept = members.filter((frame) => frame.kept);
  const pool = kept.length > 0 ? kept : members;
  const typical = pool.reduce((best, frame) =>
    Math.abs(frame.frame.fwhm.px! - reference) < Math.abs(best.frame.fwhm.px! - reference) ? frame : best,
  );
  const worst = members.reduce((most, frame) => (frame.frame.fwhm.px! > most.frame.fwhm.px! ? frame : most));
  const picks: Pick[] = [{ view: typical, why: kept.length > 0 ? 'typical kept sub' : 'typical sub' }];
  if (worst !== typical) picks.push({ view: worst, why: 'softest sub' });
  return picks;
}

function mapFigure(view: PageView, pick: Pick): SafeHtml {
  const { frame, index } = pick.view;
  const group = view.groupNames.length > 1 ? `${frame.group}, ` : '';
  return html`<figure class="map">
    <div class="mapbox">${frameSensorMap(view, pick.view, 'hero')}${view.pictures && frameAtlas(frame)}</div>
    <figcaption>
      <b>${group}${pick.why}</b> <a href="#f${index}">${frame.file}</a
      ><br />${describeMap(sensorInput(view, pick.view))}
    </figcaption>
    ${behindThePlot(
      `Corners of ${frame.file}`,
      ['Corner', `FWHM (${view.unit})`, 'Elongation', 'Axis', 'Radial (+) or tangential (−)', 'Stars'],
      frame.field.corners.map((corner) => [
        corner.name,
        ratio(inUnit(view, pick.view, corner.fwhm)),
        ratio(corner.elongation),
        degrees(corner.angleDeg),
        signed(corner.radial, 2),
        String(corner.stars),
      ]),
    )}
  </figure>`;
}

/** Corner figures are in pixels. */
function inUnit(view: PageView, frame: FrameView, px: number | null): number | null {
  return px === null
    ? null
    : sizeIn(view.unit, { px, arcsec: frame.frame.scale ? px * frame.frame.scale.arcsecPerPx : null });
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
