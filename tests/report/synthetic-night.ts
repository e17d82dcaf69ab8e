import type { NightAssessment } from '../../src/causes/types.js';
import type { FramePictures } from '../../src/field/types.js';
import type { FrameHeader } from '../../src/fits/types.js';
import type { DecisionLimits, DecisionReason, JudgedFrame, OpticalDetail } from '../../src/night/types.js';
import { causesOf } from './synthetic-causes.js';
import { cellsOf, cornersOf } from './synthetic-field.js';

/** What a synthetic night may be asked for. */
export interface SyntheticOptions {
  readonly frames: number;
  readonly filters?: readonly string[];
  readonly seed?: number;
  readonly pictures?: (index: number) => FramePictures;
  readonly withTimes?: boolean;
  /** Put into every text that may come from a file. */
  readonly text?: string;
}

const limits: DecisionLimits = {
  fwhmFactor: 1.25,
  fwhmArcsec: null,
  elongation: 1.35,
  transparency: 0.7,
  weight: null,
  minStars: 8,
  keepBest: null,
};

const opticalDetail: OpticalDetail = {
  micronPerDiscPx: 18.8,
  signSource: 'focuser',
  tilt: { blurPx: 0.5, significance: 9, directionErrorDeg: 6 },
  tiltFollows: { what: 'sensor', significance: 3 },
  curvature: {
    blurPx: 0.3,
    significance: 4,
    medialPx: 1.1,
    medialErrorPx: 0.3,
    astigmatismPx: -0.3,
    astigmatismErrorPx: 0.2,
    correlation: 0.1,
  },
  rotation: { cornerTrailPx: 0.1, significance: 0.6, centre: [0, 0] },
  coma: null,
  frames: [],
  scatter: 1.1,
};

function random(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

/** A made-up night with a focus drift, a tilt, a pause, a meridian flip, cloud and a trailed frame: figures only, no pixels. */
export function syntheticNight(options: SyntheticOptions): NightAssessment {
  const next = random(options.seed ?? 1);
  const filters = options.filters ?? ['L'];
  const frames = Array.from({ length: options.frames }, (_, i) => frameAt(i, options, filters, next));
  const kept = frames.filter((frame) => frame.decision === 'keep');
  const groups = filters.map((filter) => {
    const members = frames.filter((frame) => frame.header.filter === filterName(filter, options));
    return {
      name: groupName(filter, options),
      frames: members.length,
      kept: members.filter((frame) => frame.decision === 'keep').length,
      reference: { fwhmPx: 2.3, fwhmArcsec: 2.3 * 1.46, elongation: 1.08, level: 800, noise: 12 },
    };
  });
  return {
    schema: 'starassay/night@1',
    version: '0.1.0',
    frames,
    unreadable: options.text
      ? [
          {
            file: options.text,
            error: { code: 'fits-format', message: options.text, remedy: options.text, file: options.text },
          },
        ]
      : [
          {
            file: 'broken-0001.fits',
            error: {
              code: 'fits-format',
              message: 'broken-0001.fits ends 2,880 bytes early',
              remedy: 'Copy it again.',
              file: 'broken-0001.fits',
            },
          },
        ],
    setAside: [{ file: options.text ?? 'dark-0001.fits', kind: 'dark' }],
    groups,
    optics: [
      {
        frames: frames.length,
        explainedVariance: 0.83,
        unit: 'micron',
        tilt: { directionDeg: 212, span: 38, spanError: 4, angleArcmin: 4.6 },
        curvature: { corner: 21, error: 5 },
        astigmatism: { corner: -6, error: 4 },
        coma: null,
        signsKnown: true,
        focus: frames.map((frame, i) => ({ file: frame.file, offset: i - 3, error: 2 })),
        detail: opticalDetail,
      },
    ],
    night: {
      summary: {
        frames: frames.length,
        kept: kept.length,
        rejected: frames.length - kept.length,
        unreadable: 1,
        exposureSecondsKept: kept.length * 180,
        medianFwhmArcsec: 3.37,
        medianFwhmPx: 2.31,
        text: [
          options.text ?? 'The focus drifted as the tube cooled; the last hour is soft.',
          'The sensor is tilted towards the bottom left.',
        ],
      },
      causes: causesOf(frames, options.text),
      whatIf: Array.from({ length: options.frames }, (_, i) => ({
        kept: i + 1,
        fwhm: 2.9 + 0.6 * ((i + 1) / options.frames) ** 2,
        depth: Math.sqrt((i + 1) / options.frames) * (1.12 - 0.12 * ((i + 1) / options.frames)),
      })),
    },
    warnings: [options.text ?? 'The plate scale of the headers and of the WCS differ by 2.4 %.'],
    limits,
  };
}

function filterName(filter: string, options: SyntheticOptions): string {
  return options.text ? `${filter}${options.text}` : filter;
}

function groupName(filter: string, options: SyntheticOptions): string {
  return `${options.text ?? 'Lantern Field'} · ${filter} · 180 s`;
}

function frameAt(
  i: number,
  options: SyntheticOptions,
  filters: readonly string[],
  next: () => number,
): JudgedFrame {
  const n = options.frames;
  const part = n > 1 ? i / (n - 1) : 0;
  const filter = filters[i % filters.length]!;
  const cloud = part > 0.55 && part < 0.62 ? 0.55 : 1;
  const trailed = i % 37 === 11;
  const px = 2.25 + 0.9 * Math.max(0, part - 0.6) ** 1.3 * 2 + 0.12 * next();
  const elongation = trailed ? 1.52 : 1.05 + 0.06 * next();
  const transparency = cloud * (0.95 + 0.05 * next());
  const reasons: DecisionReason[] = [];
  const fwhmLimit = 2.3 * 1.25;
  if (px > fwhmLimit)
    reasons.push({
      code: 'fwhm',
      message: `FWHM ${(px * 1.46).toFixed(2)} arcsec is above ${(fwhmLimit * 1.46).toFixed(2)}`,
      value: px * 1.46,
      limit: fwhmLimit * 1.46,
    });
  if (elongation > 1.35)
    reasons.push({
      code: 'elongation',
      message: `elongation ${elongation.toFixed(2)} is above 1.35`,
      value: elongation,
      limit: 1.35,
    });
  if (transparency < 0.7)
    reasons.push({
      code: 'transparency',
      message: `transparency ${transparency.toFixed(2)} is under 0.70`,
      value: transparency,
      limit: 0.7,
    });
  const start = Date.UTC(2026, 10, 21, 19, 2) + i * 190_000 + (part > 0.4 ? 50 * 60_000 : 0);
  const file = options.text
    ? `${options.text}${i}.fits`
    : `lantern-${filter}-${String(i + 1).padStart(4, '0')}.fits`;
  return {
    file,
    path: `/night/${file}`,
    fileBytes: 52_000_000,
    header: headerOf(
      i,
      part,
      filterName(filter, options),
      options.withTimes === false ? null : new Date(start).toISOString(),
      options,
    ),
    image: { widthPx: 6248, heightPx: 4176, mosaic: null, hdu: 0 },
    scale: {
      arcsecPerPx: 1.46,
      source: 'focal-length',
      pixelPitchMicron: 3.76,
      focalLengthMm: 530,
      focalRatio: 5,
      conflicts: [],
    },
    orientation: null,
    stars: { detected: 900 + i, measured: 700 + i, saturated: 6, hotPixels: 12, cosmicRays: 3 },
    fwhm: { px, arcsec: px * 1.46, standardError: 0.012 },
    hfd: { px: px * 1.08, arcsec: px * 1.08 * 1.46, standardError: 0.015 },
    elongation,
    elongationError: 0.006,
    beta: 3.1,
    trail: {
      angleDeg: trailed ? 31 : null,
      coherence: trailed ? 0.9 : 0.1,
      significance: trailed ? 22 : 1,
      skyAngleDeg: null,
      axis: trailed ? 'ra' : null,
    },
    background: {
      level: 780 + 240 * (part - 0.5) ** 2 + 10 * next(),
      noise: 11.9,
      gradientPercent: 3.2,
      gradientDirectionDeg: 120,
    },
    limitingFlux: 210,
    field: {
      columns: 7,
      rows: 5,
      cells: cellsOf(px, trailed, next),
      tilt: { directionDeg: 212, fwhmSpanPercent: 9.4, fwhmSpanErrorPercent: 1.1 },
      curvaturePercent: 6.2,
      curvatureErrorPercent: 1.4,
      radial: 0.04,
      radialError: 0.006,
      corners: cornersOf(px),
    },
    streaks:
      i % 29 === 7
        ? [{ x1: 10, y1: 20, x2: 4000, y2: 2200, lengthPx: 4540, angleDeg: 28.6, widthPx: 4 }]
        : [],
    registrationStars: [],
    pictures: options.pictures?.(i) ?? { preview: null, atlas: null },
    warnings: options.text ? [options.text] : [],
    unmeasured: options.text ? { [options.text]: options.text } : {},
    elapsedMs: 120,
    group: groupName(filter, options),
    registration: {
      matched: 300,
      dxPx: 3,
      dyPx: -2,
      rotationDeg: part > 0.4 ? 180 : 0,
      scale: 1,
      flipped: part > 0.4,
      rmsPx: 0.1,
    },
    transparency,
    weight: transparency ** 2 * (2.3 / px) ** 2,
    blur: {
      unit: 'arcsec',
      seeing: 2.8,
      focus: 1.5 * Math.max(0, part - 0.5) + 0.3,
      tilt: 0.8,
      curvature: 0.5,
      coma: null,
      tracking: trailed ? 2.4 : 0.6,
    },
    decision: reasons.length > 0 ? 'reject' : 'keep',
    reasons: options.text ? reasons.map((reason) => ({ ...reason, message: options.text! })) : reasons,
    causes: trailed ? [{ code: options.text ?? 'guiding-trail', confidence: 0.93 }] : [],
  };
}

function headerOf(
  i: number,
  part: number,
  filter: string,
  dateObs: string | null,
  options: SyntheticOptions,
): FrameHeader {
  return {
    kind: 'light',
    object: options.text ?? 'Lantern Field',
    filter,
    camera: options.text ?? 'Demo camera',
    telescope: options.text ?? 'Demo refractor',
    site: options.text ?? 'Hollow Ridge',
    exposureSeconds: 180,
    gain: 100,
    offset: 20,
    electronsPerAdu: 0.8,
    readNoiseElectrons: 1.6,
    binning: [1, 1],
    dateObs,
    temperatureC: -10,
    ambientTemperatureC: 6 - 5 * part,
    focuserTemperatureC: 7 - 5 * part,
    focuserPosition: part > 0.75 ? 12_460 : 12_400,
    focuserMicronPerStep: 1,
    pierSide: part > 0.4 ? 'west' : 'east',
    altitudeDeg: 40 + 30 * part,
    azimuthDeg: 120,
    airmass: 1.2,
    rotatorDeg: null,
    raDeg: 10 + i * 0.001,
    decDeg: 41,
    latitudeDeg: 47,
    longitudeDeg: 8,
    elevationMetre: 500,
    pixelSizeMicron: [3.76, 3.76],
    focalLengthMm: 530,
    apertureMm: 106,
    focalRatio: 5,
    scaleKeywordArcsecPerPx: null,
    wcs: null,
    sources: {},
    missing: {},
  };
}
