import type { JudgedFrame } from '../../night/types.js';
import { dataUrl, html, type SafeHtml } from '../html.js';
import { drawSensorMap, type SensorMapInput } from '../plot/sensor-map.js';
import { svgPlot } from '../plot/svg.js';
import type { FrameView, PageView } from '../view.js';

/** What the sensor map needs of a frame, in the page's unit. */
export function sensorInput(view: PageView, { frame }: FrameView): SensorMapInput {
  const arcsec = view.unit === 'arcsec' && frame.scale !== null;
  return {
    field: frame.field,
    widthPx: frame.image.widthPx,
    heightPx: frame.image.heightPx,
    unitPerPx: arcsec ? frame.scale!.arcsecPerPx : 1,
    unitSign: arcsec ? '″' : ' px',
  };
}

/** The sensor map of one frame; `place` makes its ids unique where a frame appears twice. */
export function frameSensorMap(view: PageView, frame: FrameView, place: string): SafeHtml {
  const map = drawSensorMap(sensorInput(view, frame), 420);
  return svgPlot(
    {
      id: `map-${place}-${frame.index}`,
      title: `Sensor map of ${frame.frame.file}`,
      description: map.description,
      width: map.width,
      height: map.height,
      kind: 'sensormap',
    },
    map.content,
  );
}

/** The star atlas of one frame, or null when it was not made. */
export function frameAtlas(frame: JudgedFrame): SafeHtml | null {
  return picture(
    frame.pictures.atlas,
    'atlas',
    `Star atlas of ${frame.file}: the mean star of each part of the sensor, in its place`,
  );
}

/** The stretched preview of one frame, or null when it was not made. */
export function framePreview(frame: JudgedFrame): SafeHtml | null {
  return picture(frame.pictures.preview, 'preview', `Preview of ${frame.file}`);
}

/** An encoded picture in the page; null when there is none. */
export function picture(bytes: Uint8Array | null, kind: string, alternative: string): SafeHtml | null {
  if (bytes === null) return null;
  return html`<span class="picture ${kind}"
    ><img src="${dataUrl(bytes)}" alt="${alternative}" decoding="async"
  /></span>`;
}
