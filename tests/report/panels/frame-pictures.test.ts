import { expect, it } from 'vitest';
import {
  frameAtlas,
  framePreview,
  frameSensorMap,
  sensorInput,
} from '../../../src/report/panels/frame-pictures.js';
import { viewNight } from '../../../src/report/view.js';
import { syntheticNight } from '../synthetic-night.js';

const png = Uint8Array.of(0x89, 0x50, 0x4e, 0x47);

it('puts pictures into the page with words for them, or nothing', () => {
  const night = syntheticNight({ frames: 1, pictures: () => ({ preview: png, atlas: png }) });
  expect(framePreview(night.frames[0]!)!.text).toContain(`alt="Preview of ${night.frames[0]!.file}"`);
  expect(frameAtlas(night.frames[0]!)!.text).toContain('data:image/png;base64,');
  expect(framePreview(syntheticNight({ frames: 1 }).frames[0]!)).toBeNull();
});

it('gives the map of a frame its own ids and the unit of the page', () => {
  const view = viewNight(syntheticNight({ frames: 2 }), { pictures: false });
  expect(frameSensorMap(view, view.frames[1]!, 'x').text).toContain('id="map-x-1-t"');
  expect(sensorInput(view, view.frames[0]!)).toMatchObject({ unitPerPx: 1.46, unitSign: '″' });
  expect(sensorInput({ ...view, unit: 'px' }, view.frames[0]!)).toMatchObject({
    unitPerPx: 1,
    unitSign: ' px',
  });
});
