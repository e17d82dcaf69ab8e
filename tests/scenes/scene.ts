import type { MosaicPattern, PixelPlane } from '../../src/fits/types.js';
import { seededRandom, type Random } from './random.js';
import { readStarImage, type StarImage } from './star-image.js';

/** One star of a scene; position in FITS pixels, flux in electrons. */
export interface SceneStar {
  readonly x: number;
  readonly y: number;
  readonly flux: number;
}

export interface SceneOptions {
  readonly width: number;
  readonly height: number;
  readonly seed: number;
  readonly stars: readonly SceneStar[];
  /** Star image, or one that depends on the position. */
  readonly image: StarImage | ((star: SceneStar) => StarImage);
  /** Sky, electrons a pixel, at 0-based (x, y). */
  readonly sky: number | ((x: number, y: number) => number);
  readonly readNoise?: number;
  readonly electronsPerAdu?: number;
  readonly offsetAdu?: number;
  readonly fullScaleAdu?: number;
  /** Fraction of pixels that are hot. */
  readonly hotFraction?: number;
  readonly hotElectrons?: number;
  readonly cosmicRays?: number;
  readonly mosaic?: MosaicPattern | null;
  /** Response of R, G, B to starlight and sky (mosaic only). */
  readonly colours?: { readonly R: number; readonly G: number; readonly B: number };
  readonly asFloat?: boolean;
  /** Extra light in electrons (streaks, nebulae), before noise. */
  readonly extra?: (light: Float64Array, width: number, height: number) => void;
  readonly vignetting?: (x: number, y: number) => number;
}

/** A synthetic exposure: Poisson light, read noise, gain, offset, clipping, integers. */
export function makeScene(options: SceneOptions): PixelPlane {
  const { width, height } = options;
  const random = seededRandom(options.seed);
  const light = new Float64Array(width * height);
  for (const star of options.stars) addStar(light, width, height, star, options);
  options.extra?.(light, width, height);
  const gain = options.electronsPerAdu ?? 1;
  const readNoise = options.readNoise ?? 5;
  const offset = options.offsetAdu ?? 0;
  const top = options.fullScaleAdu ?? 65535;
  const colours = options.colours ?? { R: 0.6, G: 1, B: 0.5 };
  const electrons = light;
  for (let y = 0; y < height; y += 1) {
    for (let x = 0; x < width; x += 1) {
      const k = y * width + x;
      const sky = typeof options.sky === 'number' ? options.sky : options.sky(x, y);
      let mean = electrons[k] + sky;
      if (options.mosaic) mean *= colours[options.mosaic.cell[(y % 2) * 2 + (x % 2)]];
      if (options.vignetting) mean *= options.vignetting(x, y);
      electrons[k] = random.poisson(mean);
    }
  }
  addDefects(electrons, width, height, random, options);
  const data = options.asFloat ? new Float32Array(width * height) : new Uint16Array(width * height);
  for (let k = 0; k < electrons.length; k += 1) {
    const adu = (electrons[k] + readNoise * random.normal()) / gain + offset;
    data[k] = options.asFloat ? adu : Math.max(0, Math.min(top, Math.round(adu)));
  }
  return {
    width,
    height,
    data,
    scale: 1,
    zero: 0,
    mosaic: options.mosaic ?? null,
    blankCount: 0,
    saturation: options.asFloat ? null : 65535,
  };
}

function addStar(
  light: Float64Array,
  width: number,
  height: number,
  star: SceneStar,
  options: SceneOptions,
): void {
  const image = typeof options.image === 'function' ? options.image(star) : options.image;
  const r = image.radiusPx;
  const x0 = star.x - 1;
  const y0 = star.y - 1;
  for (let y = Math.max(0, Math.ceil(y0 - r)); y <= Math.min(height - 1, Math.floor(y0 + r)); y += 1) {
    for (let x = Math.max(0, Math.ceil(x0 - r)); x <= Math.min(width - 1, Math.floor(x0 + r)); x += 1) {
      light[y * width + x] += star.flux * readStarImage(image, x - x0, y - y0);
    }
  }
}

function addDefects(
  electrons: Float64Array,
  width: number,
  height: number,
  random: Random,
  options: SceneOptions,
): void {
  const hot = Math.round((options.hotFraction ?? 0) * width * height);
  for (let i = 0; i < hot; i += 1) {
    const k = Math.floor(random.uniform() * electrons.length);
    electrons[k] += (options.hotElectrons ?? 2000) * -Math.log(1 - random.uniform());
  }
  for (let i = 0; i < (options.cosmicRays ?? 0); i += 1) {
    let x = random.uniform() * width;
    let y = random.uniform() * height;
    const angle = random.uniform() * 2 * Math.PI;
    const length = 1 + Math.floor(random.uniform() * 12);
    const charge = 300 + 3000 * random.uniform();
    for (let step = 0; step < length; step += 1) {
      const k = Math.floor(y) * width + Math.floor(x);
      if (x >= 0 && y >= 0 && x < width && y < height) electrons[k] += charge;
      x += Math.cos(angle);
      y += Math.sin(angle);
    }
  }
}

/** Stars spread evenly over the frame, brightness such that N(>F) ~ F^-slope between the two fluxes. */
export function scatterStars(
  count: number,
  width: number,
  height: number,
  seed: number,
  fluxes: { readonly faintest: number; readonly brightest: number; readonly slope?: number },
): SceneStar[] {
  const random = seededRandom(seed);
  const slope = fluxes.slope ?? 0.8;
  const low = fluxes.brightest ** -slope;
  const high = fluxes.faintest ** -slope;
  return Array.from({ length: count }, () => ({
    x: 0.5 + random.uniform() * width,
    y: 0.5 + random.uniform() * height,
    flux: (low + random.uniform() * (high - low)) ** (-1 / slope),
  }));
}
