import type { MosaicPattern, PixelPlane } from '../../src/fits/types.js';
import type { BackgroundMap } from '../../src/image/types.js';
import type { StarTable } from '../../src/stars/types.js';

/** A plane of elliptical Gaussian stars with known places and shapes, and the star table that a perfect measurement would give. */
export interface DrawnStars {
  readonly plane: PixelPlane;
  readonly background: BackgroundMap;
  readonly table: StarTable;
}

export interface DrawnStarOptions {
  readonly width: number;
  readonly height: number;
  readonly count: number;
  readonly seed?: number;
  readonly noise?: number;
  readonly sky?: number;
  readonly mosaic?: MosaicPattern | null;
  /** Variances (px^2) of a star at FITS x, y. */
  readonly shape: (x: number, y: number) => { readonly xx: number; readonly xy: number; readonly yy: number };
  /** A second star of this part of the flux, at a random place 6 to 9 px away, unknown to the table. */
  readonly companion?: number;
}

/** Seeded numbers in [0, 1). */
export function seededNumbers(seed: number): () => number {
  let state = seed >>> 0 || 1;
  return () => {
    // xorshift32, Marsaglia 2003: no lattice pattern in the low bits.
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) / 2 ** 32;
  };
}

export function drawStars(options: DrawnStarOptions): DrawnStars {
  const { width, height, count } = options;
  const next = seededNumbers(options.seed ?? 7);
  const sky = options.sky ?? 500;
  const noise = options.noise ?? 5;
  const pixels = new Float64Array(width * height);
  for (let i = 0; i < pixels.length; i++) {
    pixels[i] = sky + noise * Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next());
  }
  const column = (of: (i: number) => number) => Float64Array.from({ length: count }, (_, i) => of(i));
  const x = column(() => 15 + (width - 30) * next());
  const y = column(() => 15 + (height - 30) * next());
  const flux = column((i) => 60_000 * 0.995 ** i + 8000);
  const shapes = Array.from({ length: count }, (_, i) => options.shape(x[i]!, y[i]!));
  for (let i = 0; i < count; i++) {
    addStar(pixels, width, height, x[i]!, y[i]!, flux[i]!, shapes[i]!);
    if (options.companion) {
      const angle = 2 * Math.PI * next();
      const distance = 6 + 3 * next();
      addStar(
        pixels,
        width,
        height,
        x[i]! + distance * Math.cos(angle),
        y[i]! + distance * Math.sin(angle),
        flux[i]! * options.companion,
        shapes[i]!,
      );
    }
  }
  const width1 = (i: number) =>
    2.354820045 * Math.sqrt(Math.sqrt(shapes[i]!.xx * shapes[i]!.yy - shapes[i]!.xy ** 2));
  const e1 = (i: number) => (shapes[i]!.xx - shapes[i]!.yy) / (shapes[i]!.xx + shapes[i]!.yy);
  const e2 = (i: number) => (2 * shapes[i]!.xy) / (shapes[i]!.xx + shapes[i]!.yy);
  const table: StarTable = {
    count,
    fwhmSharedError: 0,
    hfdSharedError: 0,
    x,
    y,
    flux,
    peak: column(
      (i) => flux[i]! / (2 * Math.PI * Math.sqrt(shapes[i]!.xx * shapes[i]!.yy - shapes[i]!.xy ** 2)),
    ),
    snr: column(() => 100),
    background: column(() => sky),
    fwhm: column(width1),
    fwhmError: column(() => 0.02),
    elongation: column(() => 1),
    angleDeg: column(() => 0),
    e1: column(e1),
    e2: column(e2),
    eError: column(() => 0.01),
    axis1: column(e1),
    axis2: column(e2),
    axisError: column(() => 0.01),
    beta: column(() => 10),
    hfd: column(width1),
    hfdError: column(() => 0.02),
    mxx: column((i) => shapes[i]!.xx),
    mxy: column((i) => shapes[i]!.xy),
    myy: column((i) => shapes[i]!.yy),
    mError: column(() => 0.02),
    skewX: column(() => 0),
    skewY: column(() => 0),
    skewError: column(() => 0.02),
    flags: new Uint16Array(count),
  };
  return {
    plane: {
      width,
      height,
      data: Uint16Array.from(pixels, (value) => Math.max(0, Math.min(65535, Math.round(value)))),
      scale: 1,
      zero: 0,
      mosaic: options.mosaic ?? null,
      blankCount: 0,
      saturation: 65535,
    },
    background: evenBackground(sky, noise),
    table,
  };
}

/** A background map of one even tile. */
export function evenBackground(level: number, noise: number): BackgroundMap {
  return {
    tileSizePx: 64,
    columns: 1,
    rows: 1,
    level: Float64Array.of(level),
    noise: Float64Array.of(noise),
    medianLevel: level,
    medianNoise: noise,
    gradientPercent: 0,
    gradientDirectionDeg: null,
  };
}

function addStar(
  pixels: Float64Array,
  width: number,
  height: number,
  x: number,
  y: number,
  flux: number,
  shape: { readonly xx: number; readonly xy: number; readonly yy: number },
): void {
  const det = shape.xx * shape.yy - shape.xy ** 2;
  const reach = Math.ceil(5 * Math.sqrt(Math.max(shape.xx, shape.yy)));
  for (
    let v = Math.max(0, Math.round(y - 1) - reach);
    v <= Math.min(height - 1, Math.round(y - 1) + reach);
    v++
  ) {
    for (
      let u = Math.max(0, Math.round(x - 1) - reach);
      u <= Math.min(width - 1, Math.round(x - 1) + reach);
      u++
    ) {
      const dx = u + 1 - x;
      const dy = v + 1 - y;
      const q = (shape.yy * dx * dx - 2 * shape.xy * dx * dy + shape.xx * dy * dy) / det;
      pixels[v * width + u]! += (flux / (2 * Math.PI * Math.sqrt(det))) * Math.exp(-q / 2);
    }
  }
}
