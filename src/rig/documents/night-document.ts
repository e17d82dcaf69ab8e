import { z } from 'zod';
import { UsageError } from '../../errors.js';
import type { RecordableNight } from '../types.js';

// A document may come from another version: a field that is missing or of the wrong kind counts as not measured,
// so that one odd value does not lose a night.
const number = z.number().nullable().catch(null);
const text = z.string().nullable().catch(null);
const count = z.number().catch(0);
const size = z
  .object({ px: number, arcsec: number, standardError: number })
  .catch({ px: null, arcsec: null, standardError: null });
const pair = z.tuple([z.number(), z.number()]).nullable().catch(null);

const header = z.object({
  kind: z.enum(['light', 'dark', 'flat', 'bias', 'unknown']).catch('unknown'),
  object: text,
  filter: text,
  camera: text,
  telescope: text,
  site: text,
  exposureSeconds: number,
  gain: number,
  offset: number,
  electronsPerAdu: number,
  readNoiseElectrons: number,
  binning: pair,
  dateObs: text,
  temperatureC: number,
  ambientTemperatureC: number,
  focuserTemperatureC: number,
  focuserPosition: number,
  focuserMicronPerStep: number,
  pierSide: z.enum(['east', 'west']).nullable().catch(null),
  altitudeDeg: number,
  azimuthDeg: number,
  airmass: number,
  rotatorDeg: number,
  raDeg: number,
  decDeg: number,
  latitudeDeg: number,
  longitudeDeg: number,
  elevationMetre: number,
  pixelSizeMicron: pair,
  focalLengthMm: number,
  apertureMm: number,
  focalRatio: number,
  scaleKeywordArcsecPerPx: number,
});

const frame = z.object({
  file: z.string(),
  fileBytes: count,
  header,
  image: z.object({ widthPx: count, heightPx: count }).catch({ widthPx: 0, heightPx: 0 }),
  scale: z
    .object({
      arcsecPerPx: z.number(),
      source: z.enum(['wcs', 'keyword', 'focal-length', 'option']),
      pixelPitchMicron: number,
      focalLengthMm: number,
    })
    .nullable()
    .catch(null),
  orientation: z.object({ northDeg: z.number() }).nullable().catch(null),
  stars: z.object({ measured: count }).catch({ measured: 0 }),
  fwhm: size,
  hfd: size,
  elongation: number,
  trail: z
    .object({ angleDeg: number, skyAngleDeg: number, axis: z.enum(['ra', 'dec']).nullable().catch(null) })
    .catch({ angleDeg: null, skyAngleDeg: null, axis: null }),
  background: z.object({ level: number, noise: number }).catch({ level: null, noise: null }),
  field: z
    .object({
      tilt: z.object({ directionDeg: z.number(), fwhmSpanPercent: z.number() }).nullable().catch(null),
      curvaturePercent: number,
      radial: number,
    })
    .catch({ tilt: null, curvaturePercent: null, radial: null }),
  transparency: number,
  weight: number,
  blur: z
    .object({
      unit: z.enum(['arcsec', 'px']),
      seeing: number,
      focus: number,
      tilt: number,
      curvature: number,
      coma: number,
      tracking: number,
    })
    .nullable()
    .catch(null),
  decision: z.enum(['keep', 'reject']),
  reasons: z.array(z.object({ code: z.string() })).catch([]),
  causes: z.array(z.object({ code: z.string(), confidence: count })).catch([]),
});

const part = z.object({ corner: z.number(), error: z.number() }).nullable().catch(null);
const optics = z.object({
  frames: count,
  explainedVariance: count,
  unit: z.enum(['micron', 'px-blur']),
  tilt: z
    .object({ directionDeg: z.number(), span: z.number(), spanError: z.number(), angleArcmin: number })
    .nullable()
    .catch(null),
  curvature: part,
  astigmatism: part,
  coma: z
    .object({ centreX: z.number(), centreY: z.number(), strength: count, error: count })
    .nullable()
    .catch(null),
  signsKnown: z.boolean().catch(false),
  focus: z.array(z.object({ file: z.string(), offset: z.number(), error: count })).catch([]),
});

const finding = z.object({
  code: z.string(),
  // A document lists only what was found under `causes`.
  answer: z.string().catch('found'),
  confidence: count,
  frames: z.array(z.string()).catch([]),
});

const document = z.object({
  schema: z.literal('starassay/night@1'),
  version: z.string().catch('unknown'),
  frames: z.array(frame),
  optics: z.array(optics).catch([]),
  night: z.object({ causes: z.array(finding).catch([]) }).catch({ causes: [] }),
});

/** Read a saved night document (`cull --json`) for recording; `name` is what errors call it. UsageError when it is none, with the first fault. */
export function parseNightDocument(content: string, name: string): RecordableNight {
  const remedy = 'Give a document saved by `starassay cull NIGHT --json`.';
  let json: unknown;
  try {
    json = JSON.parse(content);
  } catch (error) {
    throw new UsageError(`${name} is not a JSON document (${(error as Error).message})`, remedy, name);
  }
  const parsed = document.safeParse(json);
  if (parsed.success) return parsed.data as unknown as RecordableNight;
  const fault = parsed.error.issues[0];
  throw new UsageError(
    `${name} is not a night document: ${fault.path.join('.') || 'document'}: ${fault.message}`,
    remedy,
    name,
  );
}
