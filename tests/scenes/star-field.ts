import type { PixelPlane } from '../../src/fits/types.js';
import { kolmogorov } from './profiles.js';
import { makeScene, scatterStars, type SceneOptions, type SceneStar } from './scene.js';
import { makeStarImage, type StarImage } from './star-image.js';

export interface StarFieldOptions extends Partial<SceneOptions> {
  readonly count?: number;
  /** Faintest and brightest star, signal to noise against the sky. */
  readonly snr?: readonly [number, number];
}

/** A frame of stars of one image, with fluxes set by signal to noise; and its truth. */
export function starField(
  image: StarImage,
  options: StarFieldOptions = {},
): { readonly plane: PixelPlane; readonly stars: readonly SceneStar[]; readonly image: StarImage } {
  const width = options.width ?? 900;
  const height = options.height ?? 700;
  const seed = options.seed ?? 1;
  const sky = typeof options.sky === 'number' ? options.sky : 500;
  const readNoise = options.readNoise ?? 5;
  // Noise-equivalent area of a Gaussian of the image's width, 4 pi sigma^2 (King 1983).
  const area = 4 * Math.PI * (image.truth.hfd / 2.3548) ** 2;
  const unit = Math.sqrt(area * (sky + readNoise ** 2));
  const [faintest, brightest] = options.snr ?? [20, 1000];
  const stars =
    options.stars ??
    scatterStars(options.count ?? 200, width, height, seed + 1000, {
      faintest: faintest * unit,
      brightest: brightest * unit,
    });
  return { plane: makeScene({ sky, ...options, width, height, seed, stars, image }), stars, image };
}

/** Seeing of the given width as it falls on the pixels. */
export function seeingImage(fwhmPx: number): StarImage {
  return makeStarImage(
    kolmogorov(fwhmPx),
    Math.max(10, 7 * fwhmPx),
    Math.max(4, Math.min(20, Math.round(30 / fwhmPx))),
  );
}
