import type { FrameAssessment } from '../../src/field/types.js';
import type { FrameHeader } from '../../src/fits/types.js';
import type { JudgedFrame } from '../../src/night/types.js';
import { seededRandom } from '../scenes/random.js';

/** Stars of a made-up field: positions about the middle of the frame, pixels; flux in ADU per second. */
export interface MadeSky {
  readonly x: readonly number[];
  readonly y: readonly number[];
  readonly rate: readonly number[];
}

/** A field of stars with power-law fluxes over a square of `sizePx`. */
export function madeSky(seed: number, stars: number, sizePx: number): MadeSky {
  const random = seededRandom(seed);
  const column = (value: () => number): number[] => Array.from({ length: stars }, value);
  return {
    x: column(() => (random.uniform() - 0.5) * sizePx),
    y: column(() => (random.uniform() - 0.5) * sizePx),
    // N(> flux) goes as flux^-1, as counts of stars roughly do.
    rate: column(() => 20 / Math.max(1e-3, random.uniform())),
  };
}

/** How a frame looks at the sky. */
export interface Pointing {
  readonly seed?: number;
  readonly dxPx?: number;
  readonly dyPx?: number;
  readonly rotationDeg?: number;
  readonly scale?: number;
  readonly transparency?: number;
  /** Scatter of a position, pixels per axis, and of a flux, as a fraction, on top of the sky noise. */
  readonly positionError?: number;
  readonly fluxError?: number;
  /** Flux (ADU) from which a star is clipped and left out. */
  readonly clipAt?: number;
  readonly limit?: number;
}

/** Registration stars of a frame of `widthPx` x `heightPx`. */
export function seenStars(
  sky: MadeSky,
  seconds: number,
  widthPx: number,
  heightPx: number,
  pointing: Pointing = {},
): number[] {
  const random = seededRandom(pointing.seed ?? 1);
  const angle = ((pointing.rotationDeg ?? 0) * Math.PI) / 180;
  const [c, s] = [Math.cos(angle) * (pointing.scale ?? 1), Math.sin(angle) * (pointing.scale ?? 1)];
  const stars: [number, number, number][] = [];
  const skyNoise = 120;
  for (let i = 0; i < sky.x.length; i++) {
    const jitter = pointing.positionError ?? 0.1;
    const x = widthPx / 2 + (pointing.dxPx ?? 0) + c * sky.x[i]! - s * sky.y[i]! + jitter * random.normal();
    const y = heightPx / 2 + (pointing.dyPx ?? 0) + s * sky.x[i]! + c * sky.y[i]! + jitter * random.normal();
    const exact = sky.rate[i]! * seconds * (pointing.transparency ?? 1);
    const flux = exact * (1 + (pointing.fluxError ?? 0.01) * random.normal()) + skyNoise * random.normal();
    const inside = x > 5 && y > 5 && x < widthPx - 5 && y < heightPx - 5;
    if (inside && flux > 8 * skyNoise && flux < (pointing.clipAt ?? Infinity)) stars.push([x, y, flux]);
  }
  stars.sort((a, b) => b[2] - a[2]);
  return stars.slice(0, pointing.limit ?? 300).flat();
}

/** A header with nothing in it but what is given. */
export function madeHeader(header: Partial<FrameHeader> = {}): FrameHeader {
  const empty = Object.fromEntries(
    [
      'site',
      'telescope',
      'offset',
      'electronsPerAdu',
      'readNoiseElectrons',
      'temperatureC',
      'ambientTemperatureC',
    ]
      .concat([
        'focuserTemperatureC',
        'focuserPosition',
        'focuserMicronPerStep',
        'pierSide',
        'altitudeDeg',
        'azimuthDeg',
      ])
      .concat([
        'airmass',
        'rotatorDeg',
        'raDeg',
        'decDeg',
        'latitudeDeg',
        'longitudeDeg',
        'elevationMetre',
        'wcs',
      ])
      .concat(['pixelSizeMicron', 'focalLengthMm', 'apertureMm', 'focalRatio', 'scaleKeywordArcsecPerPx'])
      .map((name) => [name, null]),
  );
  return {
    ...(empty as unknown as FrameHeader),
    kind: 'light',
    object: 'Harbour Nebula',
    filter: 'L',
    camera: 'Lantern 26',
    exposureSeconds: 120,
    gain: 100,
    binning: [1, 1],
    dateObs: null,
    sources: {},
    missing: {},
    ...header,
  };
}

/** What a made frame may differ in from a plain good one. */
export interface MadeFrameOptions {
  readonly header?: Partial<FrameHeader>;
  readonly fwhmPx?: number | null;
  readonly hfdPx?: number | null;
  readonly arcsecPerPx?: number | null;
  readonly elongation?: number | null;
  readonly level?: number | null;
  readonly noise?: number | null;
  readonly measured?: number;
  readonly stars?: readonly number[];
  readonly widthPx?: number;
  readonly heightPx?: number;
  readonly unmeasured?: Readonly<Record<string, string>>;
}

/** A frame's assessment made of plain figures. */
export function madeFrame(file: string, options: MadeFrameOptions = {}): FrameAssessment {
  const scale = options.arcsecPerPx === undefined ? 1.5 : options.arcsecPerPx;
  const size = (px: number | null): FrameAssessment['fwhm'] => ({
    px,
    arcsec: px === null || scale === null ? null : px * scale,
    standardError: px === null ? null : 0.01,
  });
  const fwhm = options.fwhmPx === undefined ? 2.4 : options.fwhmPx;
  return {
    file,
    path: `/night/${file}`,
    fileBytes: 1000,
    header: madeHeader(options.header),
    image: { widthPx: options.widthPx ?? 2000, heightPx: options.heightPx ?? 1500, mosaic: null, hdu: 0 },
    scale:
      scale === null
        ? null
        : {
            arcsecPerPx: scale,
            source: 'wcs',
            pixelPitchMicron: null,
            focalLengthMm: null,
            focalRatio: null,
            conflicts: [],
          },
    orientation: null,
    stars: {
      detected: options.measured ?? 200,
      measured: options.measured ?? 200,
      saturated: 0,
      hotPixels: 0,
      cosmicRays: 0,
    },
    fwhm: size(fwhm),
    hfd: size(options.hfdPx === undefined ? (fwhm ?? 2.5) : options.hfdPx),
    elongation: options.elongation === undefined ? 1.08 : options.elongation,
    elongationError: 0.005,
    beta: 3,
    trail: { angleDeg: null, coherence: 0.1, significance: 1, skyAngleDeg: null, axis: null },
    background: {
      level: options.level === undefined ? 800 : options.level,
      noise: options.noise === undefined ? 12 : options.noise,
      gradientPercent: 3,
      gradientDirectionDeg: 90,
    },
    limitingFlux: 600,
    field: {
      columns: 5,
      rows: 4,
      cells: [],
      tilt: null,
      curvaturePercent: null,
      curvatureErrorPercent: null,
      radial: null,
      radialError: null,
      corners: [],
    },
    streaks: [],
    registrationStars: options.stars ?? [],
    pictures: { preview: null, atlas: null },
    warnings: [],
    unmeasured: options.unmeasured ?? {},
    elapsedMs: 10,
  };
}

/** A judged frame made of plain figures. */
export function madeJudged(
  file: string,
  options: MadeFrameOptions = {},
  judged: Partial<Omit<JudgedFrame, keyof FrameAssessment>> = {},
): JudgedFrame {
  return {
    ...madeFrame(file, options),
    group: 'Harbour Nebula, L, 120 s',
    registration: null,
    transparency: 1,
    weight: 1,
    blur: null,
    decision: 'keep',
    reasons: [],
    causes: [],
    ...judged,
  };
}
