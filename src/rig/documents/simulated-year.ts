import { z } from 'zod';
import { UsageError } from '../../errors.js';
import { parseNightDocument } from './night-document.js';
import type { RecordableNight } from '../types.js';

const numeric = z.number();
const frame = z.object({
  file: z.string(),
  dateObs: z.string(),
  filter: z.string(),
  exposureSeconds: numeric,
  airmass: numeric,
  ambientTemperatureC: numeric,
  focuserPosition: numeric,
  focusMicron: numeric,
  fwhmArcsec: numeric,
  hfdArcsec: numeric,
  elongation: numeric,
  guidingRaArcsec: numeric,
  guidingDecArcsec: numeric,
  seeingArcsec: numeric,
  backgroundAdu: numeric,
  noiseAdu: numeric,
  transparency: numeric,
  starsMeasured: numeric,
  decision: z.enum(['keep', 'reject']),
});
const night = z.object({
  date: z.string(),
  tilt: z.object({ directionDeg: numeric, spanMicron: numeric, spanError: numeric }),
  curvature: z.object({ cornerMicron: numeric, error: numeric }),
  astigmatism: z.object({ cornerMicron: numeric, error: numeric }),
  coma: z.object({ centreX: numeric, centreY: numeric, error: numeric }),
  arcsecPerPx: numeric,
  frames: z.array(frame),
});
const year = z.object({
  schema: z.literal('starassay/rig-year@1'),
  rig: z.object({
    camera: z.string(),
    telescope: z.string(),
    focalLengthMm: numeric,
    apertureMm: numeric,
    pixelMicron: numeric,
    widthPx: numeric,
    heightPx: numeric,
    longitudeDeg: numeric,
  }),
  events: z.array(
    z.object({ date: z.string(), kind: z.string(), size: numeric, note: z.string().nullable() }),
  ),
  nights: z.array(night),
});

type Year = z.infer<typeof year>;

/** A simulated year as nights to record, and the changes that its owner noted. */
export interface SimulatedYear {
  readonly nights: readonly RecordableNight[];
  readonly notes: readonly {
    readonly date: string;
    readonly text: string;
    readonly spacingMm: number | null;
  }[];
}

/** FWHM of a Gaussian over its standard deviation. */
const FWHM_PER_SIGMA = 2 * Math.sqrt(2 * Math.LN2);

/** Focuser step of the simulated rig, micrometres. */
const MICRON_PER_STEP = 1.2;

/** Read what `simulate rig-year` wrote, so that a history can be tried out without a year of nights; `name` is what errors call it. UsageError when it is none. */
export function parseSimulatedYear(content: string, name: string): SimulatedYear {
  let json: unknown;
  try {
    json = JSON.parse(content);
  } catch {
    json = null;
  }
  const parsed = year.safeParse(json);
  if (!parsed.success) {
    const fault = parsed.error.issues[0];
    throw new UsageError(
      `${name} is not a simulated rig-year: ${fault.path.join('.') || 'document'}: ${fault.message}`,
      'Give a document written by `starassay simulate rig-year`.',
      name,
    );
  }
  const { nights, events } = parsed.data;
  return {
    nights: nights.map((one) => parseNightDocument(JSON.stringify(nightDocument(parsed.data, one)), name)),
    notes: events.flatMap(({ date, kind, size, note }) =>
      note === null ? [] : [{ date, text: note, spacingMm: kind === 'spacer' ? size : null }],
    ),
  };
}

/** The night in the form that a measured one has. */
function nightDocument({ rig }: Year, one: Year['nights'][number]): object {
  const { widthPx, heightPx } = rig;
  const half = Math.hypot(widthPx, heightPx) / 2;
  const optics = {
    frames: one.frames.length,
    unit: 'micron',
    tilt: {
      directionDeg: one.tilt.directionDeg,
      span: one.tilt.spanMicron,
      spanError: one.tilt.spanError,
      angleArcmin: null,
    },
    curvature: { corner: one.curvature.cornerMicron, error: one.curvature.error },
    astigmatism: { corner: one.astigmatism.cornerMicron, error: one.astigmatism.error },
    coma: {
      centreX: (widthPx + 1) / 2 + half * one.coma.centreX,
      centreY: (heightPx + 1) / 2 + half * one.coma.centreY,
    },
    signsKnown: true,
    focus: one.frames.map(({ file, focusMicron }) => ({ file, offset: focusMicron, error: 2 })),
  };
  return {
    schema: 'starassay/night@1',
    version: 'simulated',
    frames: one.frames.map((f) => frameDocument(rig, one, f)),
    optics: [optics],
    night: { causes: [] },
  };
}

function frameDocument(rig: Year['rig'], one: Year['nights'][number], f: z.infer<typeof frame>): object {
  const focalRatio = rig.focalLengthMm / rig.apertureMm;
  // A defocus disc |z| / N has a standard deviation per axis of |z| / 4N; over the sensor the mean square counts.
  const blurOf = (micron: number) =>
    ((FWHM_PER_SIGMA * Math.abs(micron)) / (4 * focalRatio) / rig.pixelMicron) * one.arcsecPerPx;
  const [ra, dec] = [f.guidingRaArcsec, f.guidingDecArcsec];
  return {
    file: f.file,
    fileBytes: 2 * rig.widthPx * rig.heightPx,
    header: {
      kind: 'light',
      filter: f.filter,
      camera: rig.camera,
      telescope: rig.telescope,
      exposureSeconds: f.exposureSeconds,
      binning: [1, 1],
      dateObs: f.dateObs,
      ambientTemperatureC: f.ambientTemperatureC,
      focuserPosition: f.focuserPosition,
      focuserMicronPerStep: MICRON_PER_STEP,
      airmass: f.airmass,
      longitudeDeg: rig.longitudeDeg,
      pixelSizeMicron: [rig.pixelMicron, rig.pixelMicron],
      focalLengthMm: rig.focalLengthMm,
      apertureMm: rig.apertureMm,
    },
    image: { widthPx: rig.widthPx, heightPx: rig.heightPx },
    scale: {
      arcsecPerPx: one.arcsecPerPx,
      source: 'wcs',
      pixelPitchMicron: rig.pixelMicron,
      focalLengthMm: (206.264806 * rig.pixelMicron) / one.arcsecPerPx,
    },
    stars: { measured: f.starsMeasured },
    fwhm: { px: f.fwhmArcsec / one.arcsecPerPx, arcsec: f.fwhmArcsec, standardError: 0.01 },
    hfd: { px: f.hfdArcsec / one.arcsecPerPx, arcsec: f.hfdArcsec, standardError: 0.01 },
    elongation: f.elongation,
    // Both axes' errors as one tracking blur along the sum of their vectors.
    trail: { angleDeg: null, skyAngleDeg: (Math.atan2(ra, dec) * 180) / Math.PI, axis: null },
    background: { level: f.backgroundAdu, noise: f.noiseAdu },
    transparency: f.transparency,
    blur: {
      unit: 'arcsec',
      seeing: f.seeingArcsec,
      focus: blurOf(f.focusMicron),
      tilt: blurOf(one.tilt.spanMicron / Math.sqrt(12)),
      curvature: blurOf(one.curvature.cornerMicron * Math.sqrt(0.2)),
      coma: null,
      tracking: FWHM_PER_SIGMA * Math.hypot(ra, dec),
    },
    decision: f.decision,
    reasons: [],
    causes: [],
  };
}
