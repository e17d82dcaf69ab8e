import { z } from 'zod';
import { faultSchema } from './scenario-faults.js';

const positive = z.number().positive();
const notNegative = z.number().min(0);

const site = z.strictObject({
  name: z.string().default('Fallow Ridge'),
  latitudeDeg: z.number().min(-90).max(90).default(46.2),
  /** East positive. */
  longitudeDeg: z.number().min(-180).max(180).default(11.4),
  elevationMetre: z.number().default(640),
});

const target = z.strictObject({
  name: z.string().default('Heron Field'),
  raDeg: z.number().min(0).max(360).default(311.5),
  decDeg: z.number().min(-90).max(90).default(43.8),
});

const camera = z.strictObject({
  name: z.string().default('Plover C26'),
  /** Size of the stored image. */
  widthPx: z.int().min(16).default(1000),
  heightPx: z.int().min(16).default(700),
  /** Pitch of one physical pixel. */
  pixelMicron: positive.default(3.76),
  binning: z.int().min(1).max(8).default(1),
  electronsPerAdu: positive.default(0.78),
  readNoiseElectrons: notNegative.default(1.6),
  fullWellElectrons: positive.default(50000),
  /** Bits of the converter; values are shifted up to 16 bits when `scaledTo16` is set. */
  bitDepth: z.union([z.literal(8), z.literal(12), z.literal(14), z.literal(16)]).default(16),
  scaledTo16: z.boolean().default(false),
  /** Pedestal in ADU of the stored image. */
  pedestalAdu: notNegative.default(500),
  gainSetting: z.number().default(100),
  offsetSetting: z.number().default(50),
  temperatureC: z.number().default(-10),
  darkElectronsPerSecond: notNegative.default(0.002),
  mosaic: z.enum(['RGGB', 'BGGR', 'GRBG', 'GBRG']).nullable().default(null),
  hotPixelsPerMegapixel: notNegative.default(150),
  cosmicRaysPerMinute: notNegative.default(1),
  deadColumns: z.int().min(0).default(0),
  /** Glow of the readout electronics in one corner, electrons per second at its brightest. */
  ampGlowElectronsPerSecond: notNegative.default(0),
  /** RMS of row-to-row pattern, electrons. */
  bandingElectrons: notNegative.default(0),
  /** Charge of saturated pixels spills along columns. */
  bleeds: z.boolean().default(false),
  /** Turn of the camera: pixel-frame direction of celestial north is 90 degrees plus this. */
  angleDeg: z.number().default(0),
});

const telescope = z.strictObject({
  name: z.string().default('Heron 150/750'),
  focalLengthMm: positive.default(750),
  apertureMm: positive.default(150),
  /** Inner over outer radius of the pupil. */
  obstruction: z.number().min(0).max(0.9).default(0),
  /** Loss of light at the corners. */
  vignettingPercent: z.number().min(0).max(95).default(12),
  focuserMicronPerStep: positive.default(1.5),
  focuserBestStep: z.number().default(12400),
});

const optics = z.strictObject({
  tilt: z
    .strictObject({
      /** Highest minus lowest corner of the plane of best focus. */
      spanMicron: notNegative.default(0),
      /** Towards the side where best focus lies farther out. */
      directionDeg: z.number().default(0),
      /** A sagging joint follows gravity: over the flip it turns on the sensor. */
      follows: z.enum(['sensor', 'gravity']).default('sensor'),
    })
    .prefault({}),
  /** Medial image surface at the corner, nominal spacing. */
  curvatureMicron: z.number().default(0),
  /** (tangential - sagittal)/2 at the corner, nominal spacing. */
  astigmatismMicron: z.number().default(0),
  spacing: z
    .strictObject({
      /** Distance from the corrector to the sensor minus the one it wants. */
      errorMm: z.number().default(0),
      /** Medial curvature at the corner per millimetre; astigmatism is half of it (three to one, tangential to sagittal). */
      curvatureMicronPerMm: z.number().default(60),
      /** Distance that the corrector wants. */
      nominalMm: positive.default(55),
      /** Focal length of a reducer, whose factor 1 - distance / focal length changes with the spacing; null: no reduction. */
      reducerFocalLengthMm: positive.nullable().default(null),
    })
    .prefault({}),
  coma: z
    .strictObject({
      /** Length of the flare at the corner, on the sensor. */
      cornerMicron: notNegative.default(0),
      /** In half-diagonals from the sensor's centre. */
      centreX: z.number().default(0),
      centreY: z.number().default(0),
    })
    .prefault({}),
});

const seeing = z.strictObject({
  /** FWHM of the seeing at the zenith distance of the frames, without optics, tracking and pixels. */
  arcsec: positive.default(2.6),
  /** Frame-to-frame scatter (of the logarithm) and how much of it carries over to the next frame. */
  spread: notNegative.default(0.05),
  memory: z.number().min(0).max(0.99).default(0.6),
  wings: z.enum(['kolmogorov', 'moffat', 'gaussian']).default('kolmogorov'),
  moffatBeta: z.number().gt(1).default(3.5),
  /** Scale with airmass^0.6 relative to the first frame. */
  followsAirmass: z.boolean().default(false),
});

const tracking = z.strictObject({
  /** RMS of the guided mount in an ordinary frame, arcsec, and its scatter between frames. */
  jitterRaArcsec: notNegative.default(0.35),
  jitterDecArcsec: notNegative.default(0.3),
  spread: notNegative.default(0.15),
});

const focus = z.strictObject({
  /** Image surface relative to the sensor in the first frame. */
  startMicron: z.number().default(0),
  /** Shift of the image surface relative to the sensor per kelvin of air temperature. */
  micronPerKelvin: z.number().default(-9),
  /** Frames before which the focuser was set to best focus again. */
  refocusBefore: z.array(z.int().min(2)).default([]),
  refocusScatterMicron: notNegative.default(4),
  /** Random walk per frame. */
  wanderMicron: notNegative.default(1),
});

const temperature = z.strictObject({
  startC: z.number().default(8),
  dropPerHourC: z.number().default(0.4),
  /** Extra falls just before a frame. */
  drops: z.array(z.strictObject({ beforeFrame: z.int().min(2), byC: z.number() })).default([]),
});

const sky = z.strictObject({
  /** Per stored pixel. */
  electronsPerSecond: notNegative.default(1.2),
  gradientPercent: notNegative.default(4),
  gradientDirectionDeg: z.number().default(200),
  /** Frame-to-frame scatter, relative. */
  spread: notNegative.default(0.01),
  extinctionMagPerAirmass: notNegative.default(0.15),
  /** Moonlight and twilight brighten the sky as the date, the site and the target have it. */
  moonAndTwilight: z.boolean().default(false),
});

const stars = z.strictObject({
  /** Stars in the frame, mean. */
  count: z.int().min(0).default(400),
  /** dN/dF ~ F^-slope. */
  slope: z.number().gt(1).default(1.75),
  /** Electrons per second above the air. */
  faintest: positive.default(8),
  brightest: positive.default(6000),
  cluster: z
    .strictObject({
      count: z.int().min(0),
      /** Radius in half-diagonals. */
      radius: positive.default(0.15),
      centreX: z.number().default(0),
      centreY: z.number().default(0),
    })
    .nullable()
    .default(null),
  galaxies: z.int().min(0).default(0),
  /** Peak of a nebula as a multiple of the sky level. */
  nebula: notNegative.default(0),
});

const night = z.strictObject({
  start: z.iso.datetime().default('2026-09-12T20:05:00Z'),
  exposureSeconds: positive.default(120),
  gapSeconds: notNegative.default(9),
  /** Random steps between frames, pixels RMS. */
  ditherPx: notNegative.default(6),
  /** The mount turns over before this frame: the field appears upside down. */
  flipBefore: z.int().min(2).nullable().default(null),
  /** Steady creep from frame to frame, as of a flexing guide scope. */
  creepPxPerFrame: notNegative.default(0),
  creepDirectionDeg: z.number().default(0),
  /** Field rotation between frames. */
  rotationPerFrameDeg: z.number().default(0),
  pauses: z.array(z.strictObject({ beforeFrame: z.int().min(2), minutes: positive })).default([]),
});

const filter = z.strictObject({
  name: z.string().min(1),
  /** Shift of best focus with this filter. */
  focusMicron: z.number().default(0),
  throughput: positive.default(1),
  skyFactor: positive.default(1),
  seeingFactor: positive.default(1),
});

const header = z.strictObject({
  wcs: z.boolean().default(true),
  /** Keywords to leave out, as poorer programs do. */
  omit: z.array(z.string()).default([]),
});

const sweep = z.strictObject({
  /** Focuser travel from the first to the last frame, centred on `centreMicron` from best focus. */
  rangeMicron: positive,
  centreMicron: z.number().default(0),
});

const ladder = z.strictObject({
  /** Spacings of the rungs; the one the corrector wants is `optics.spacing.nominalMm`. */
  spacingsMm: z.array(positive).min(1),
});

/** A night (or a focus sweep, or a ladder of them) to simulate; every part has a default. */
export const scenarioSchema = z.strictObject({
  name: z.string().regex(/^[a-z0-9][a-z0-9-]*$/, 'lower-case letters, digits and hyphens'),
  description: z.string().default(''),
  seed: z.int().min(0).default(1),
  frames: z.int().min(1).max(2000).default(12),
  /** How plain the planted trouble is; for tests. */
  severity: z.enum(['clean', 'mild', 'medium', 'strong']).optional(),
  /** Cause codes that a diagnosis should find, the dominant one first; left out: worked out from the planted faults. */
  expectedCauses: z.array(z.string()).optional(),
  site: site.prefault({}),
  target: target.prefault({}),
  camera: camera.prefault({}),
  telescope: telescope.prefault({}),
  optics: optics.prefault({}),
  seeing: seeing.prefault({}),
  tracking: tracking.prefault({}),
  focus: focus.prefault({}),
  temperature: temperature.prefault({}),
  sky: sky.prefault({}),
  stars: stars.prefault({}),
  night: night.prefault({}),
  filters: z
    .array(filter)
    .min(1)
    .default([{ name: 'L', focusMicron: 0, throughput: 1, skyFactor: 1, seeingFactor: 1 }]),
  /** Filters change after each frame, or after an equal share of the night. */
  filterOrder: z.enum(['blocks', 'cycle']).default('blocks'),
  faults: z.array(faultSchema).default([]),
  header: header.prefault({}),
  pixels: z.enum(['uint8', 'uint16', 'float32']).default('uint16'),
  sweep: sweep.optional(),
  ladder: ladder.optional(),
});
export type Scenario = z.infer<typeof scenarioSchema>;
/** A scenario as its author writes it: everything but the name may be left out. */
export type ScenarioInput = z.input<typeof scenarioSchema>;
