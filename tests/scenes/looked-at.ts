import { measureBackground } from '../../src/image/background-map.js';
import { detectSources } from '../../src/image/detect-sources.js';
import { takeFirstLook, type FirstLook } from '../../src/stars/first-look.js';
import { frameSetting, type FrameSetting } from '../../src/stars/frame-setting.js';
import { mergePieces } from '../../src/stars/merge-pieces.js';
import { typicalShape } from '../../src/stars/typical-shape.js';
import type { StarImage } from './star-image.js';
import { starField, type StarFieldOptions } from './star-field.js';

/** A star field taken as far as the first look at each source: what the later steps start from. */
export function lookedAt(
  image: StarImage,
  options: StarFieldOptions = {},
): { readonly setting: FrameSetting; readonly looks: FirstLook[] } {
  const { plane } = starField(image, options);
  const background = measureBackground(plane);
  const { sources: found } = detectSources(plane, background);
  const shape = typicalShape(plane, background, found, null);
  const setting = frameSetting(plane, background, mergePieces(found, shape), 60000, shape);
  const looks = Array.from(setting.sources.x, (_, s) => takeFirstLook(setting, s, 1));
  return { setting, looks };
}
