import type { PaletteName } from '../palette.js';

/**
 * Grey pixels as the light of a palette, three bytes a pixel: white light, or red alone at night.
 * Light falls on black in every palette: a picture of the sky is no paper.
 */
export function pictureLight(greys: Uint8Array, palette: PaletteName): Buffer {
  const rgb = Buffer.alloc(3 * greys.length);
  for (let i = 0; i < greys.length; i++) {
    rgb[3 * i] = greys[i]!;
    if (palette !== 'night') rgb[3 * i + 1] = rgb[3 * i + 2] = greys[i]!;
  }
  return rgb;
}
