import type { FrameHeader } from '../fits/types.js';
import { makeRandom, type Random } from './random.js';

/** What happens to the rig over the simulated time. */
export interface RigYearOptions {
  readonly seed: number;
  /** Nights that get observed; 150 a year is a good site. */
  readonly nights?: number;
  readonly nightsPerYear?: number;
  readonly framesPerNight?: number;
  /** Evening of the first possible night, YYYY-MM-DD. */
  readonly firstDate?: string;
  /** Sensor tilt that appears on a night (a draw tube that slipped), micrometres; null: none. */
  readonly tiltStep?: { readonly night: number; readonly micron: number } | null;
  /** Growth of the guiding error, arcsec RMS a year; 0: none. */
  readonly guidingDecayArcsecPerYear?: number;
  /** A spacer put in on a night; logged as a note. */
  readonly spacer?: { readonly night: number; readonly mm: number } | null;
}

/** One night as a document of the form `cull --json` writes, with the figures the history needs. */
export interface SimulatedNight {
  readonly date: string;
  readonly document: object;
}

export interface SimulatedRigYear {
  readonly nights: readonly SimulatedNight[];
  /** Changes the owner would have logged. */
  readonly notes: readonly {
    readonly date: string;
    readonly text: string;
    readonly spacingMm: number | null;
  }[];
  readonly truth: {
    /** First night (evening date) with the tilt, its size, and the scatter of the tilt figure from night to night. */
    readonly tiltStep: { readonly date: string; readonly micron: number } | null;
    readonly tiltSigmaMicron: number;
    readonly guidingDecayArcsecPerYear: number;
    readonly spacer: { readonly date: string; readonly mm: number } | null;
    readonly curvatureMicronPerMm: number;
    /** Spacing error at the start, mm; negative: sensor too close. */
    readonly spacingErrorMm: number;
  };
}

// An invented rig: 106 mm aperture, f/5, reducer; 3.76 um pixels.
const FOCAL_LENGTH_MM = 530;
const PIXEL_MICRON = 3.76;
const ARCSEC_PER_PX = (206.264806 * PIXEL_MICRON) / FOCAL_LENGTH_MM;
const [WIDTH_PX, HEIGHT_PX] = [6248, 4176];
const LONGITUDE_DEG = 12;
const FWHM_PER_SIGMA = 2.354820045;

/** Scatter of the night figures about the truth: error of a joint fit, and what the rig itself does from night to night. */
const TILT_SIGMA_MICRON = 3;
const CURVATURE_SIGMA_MICRON = 4;
const CURVATURE_MICRON_PER_MM = 62;
const TILT_AT_START_MICRON = 14;
const SPACING_ERROR_MM = -0.7;

/**
 * The history of an invented rig over months, without pixels: seasons of seeing (best in summer), weather, and the faults asked for.
 *
 * No estimator is involved: each figure is the truth plus the scatter that a measurement would have. Equal options give
 * equal years. Nights are numbered from 0. RangeError for fewer than one night or frame.
 */
export function simulateRigYear(options: RigYearOptions): SimulatedRigYear {
  const count = options.nights ?? options.nightsPerYear ?? 150;
  const perYear = options.nightsPerYear ?? 150;
  const framesPerNight = options.framesPerNight ?? 40;
  if (count < 1 || framesPerNight < 1) throw new RangeError('a rig-year has at least one night of one frame');
  const dates = observingDates(options, count, perYear);
  const [step, spacer] = [options.tiltStep ?? null, options.spacer ?? null];
  const decay = options.guidingDecayArcsecPerYear ?? 0;
  const nights = dates.map((date, night) => {
    const random = makeRandom(options.seed, 'rig-year', night);
    const spacing = SPACING_ERROR_MM + (spacer && night >= spacer.night ? spacer.mm : 0);
    const years = (dayNumber(date) - dayNumber(dates[0])) / 365.25;
    const state: NightState = {
      date,
      seeing: seasonalSeeing(date) * Math.exp(0.22 * random.normal()),
      tiltX:
        TILT_AT_START_MICRON +
        (step && night >= step.night ? step.micron : 0) +
        TILT_SIGMA_MICRON * random.normal(),
      tiltY: TILT_SIGMA_MICRON * random.normal() * 0.3,
      curvature: CURVATURE_MICRON_PER_MM * spacing + CURVATURE_SIGMA_MICRON * random.normal(),
      guidingRms: Math.max(0.15, 0.42 + decay * years + 0.05 * random.normal()),
      focusMicronPerKelvin: 9.2 + 0.6 * random.normal(),
      fallKelvin: 3 + 5 * random.uniform(),
    };
    return { date, document: nightDocument(state, framesPerNight, random) };
  });
  return {
    nights,
    notes: spacer
      ? [{ date: dates[spacer.night], text: `spacer ${spacer.mm} mm added`, spacingMm: spacer.mm }]
      : [],
    truth: {
      tiltStep: step && { date: dates[step.night], micron: step.micron },
      tiltSigmaMicron: TILT_SIGMA_MICRON,
      guidingDecayArcsecPerYear: decay,
      spacer: spacer && { date: dates[spacer.night], mm: spacer.mm },
      curvatureMicronPerMm: CURVATURE_MICRON_PER_MM,
      spacingErrorMm: SPACING_ERROR_MM,
    },
  };
}

interface NightState {
  readonly date: string;
  readonly seeing: number;
  readonly tiltX: number;
  readonly tiltY: number;
  readonly curvature: number;
  readonly guidingRms: number;
  readonly focusMicronPerKelvin: number;
  readonly fallKelvin: number;
}

/** Clear evenings: scattered over the year at the asked rate. */
function observingDates(options: RigYearOptions, count: number, perYear: number): string[] {
  const random = makeRandom(options.seed, 'rig-year', 'dates');
  const first = dayNumber(options.firstDate ?? '2024-01-10');
  const dates: string[] = [];
  const chance = Math.min(1, perYear / 365.25);
  for (let day = first; dates.length < count; day++) {
    if (random.uniform() < chance) dates.push(new Date(day * 86_400_000).toISOString().slice(0, 10));
  }
  return dates;
}

function seasonalSeeing(date: string): number {
  const phase = (2 * Math.PI * (dayNumber(date) - dayNumber('2024-07-15'))) / 365.25;
  return 2.5 - 0.4 * Math.cos(phase);
}

function nightDocument(state: NightState, framesPerNight: number, random: Random): object {
  const frames: object[] = [];
  const focus: object[] = [];
  const start = Date.parse(`${state.date}T20:00:00Z`);
  const tiltSpan = Math.hypot(state.tiltX, state.tiltY);
  for (let i = 0; i < framesPerNight; i++) {
    const part = framesPerNight > 1 ? i / (framesPerNight - 1) : 0;
    const airmass = 1.05 + 0.9 * (part - 0.4) ** 2;
    const kelvin = 12 - state.fallKelvin * part;
    // The focuser stays put: best focus walks away with the temperature, halfway to either side.
    const offset = state.focusMicronPerKelvin * state.fallKelvin * (0.5 - part) + 3 * random.normal();
    const seeing = state.seeing * airmass ** 0.6 * Math.exp(0.06 * random.normal());
    const gust = random.uniform() < 0.04 ? 1 + 2 * random.uniform() : 0;
    const rms = state.guidingRms * Math.exp(0.1 * random.normal()) + gust;
    const blur = {
      unit: 'arcsec',
      seeing,
      focus: blurOfDefocus(offset),
      tilt: blurOfDefocus(tiltSpan / 4),
      curvature: blurOfDefocus(state.curvature / 3),
      coma: 0.1,
      tracking: rms * FWHM_PER_SIGMA,
    };
    const fwhm = Math.hypot(seeing, blur.focus, blur.tilt, blur.curvature, blur.tracking / Math.SQRT2);
    const cloud = random.uniform() < 0.03;
    const file = `${state.date}-${String(i).padStart(3, '0')}.fits`;
    const elongation = Math.sqrt(1 + (blur.tracking / fwhm) ** 2) * (1 + 0.01 * Math.abs(random.normal()));
    const keep = !cloud && elongation < 1.35;
    frames.push({
      file,
      fileBytes: 52_192_000,
      header: header(new Date(start + i * 190_000), airmass, kelvin),
      image: { widthPx: WIDTH_PX, heightPx: HEIGHT_PX, mosaic: null, hdu: 0 },
      scale: {
        arcsecPerPx: ARCSEC_PER_PX * (1 + 2e-4 * random.normal()),
        source: 'wcs',
        pixelPitchMicron: PIXEL_MICRON,
        focalLengthMm: FOCAL_LENGTH_MM * (1 + 2e-4 * random.normal()),
        focalRatio: 5,
        conflicts: [],
      },
      orientation: { northDeg: 91.2, eastDeg: 181.2, parity: 1 },
      stars: { detected: 900, measured: cloud ? 210 : 700, saturated: 4, hotPixels: 0, cosmicRays: 3 },
      fwhm: { px: fwhm / ARCSEC_PER_PX, arcsec: fwhm, standardError: 0.01 },
      hfd: { px: (1.05 * fwhm) / ARCSEC_PER_PX, arcsec: 1.05 * fwhm, standardError: 0.01 },
      elongation,
      trail: {
        angleDeg: 1,
        coherence: 0.5,
        significance: 9,
        skyAngleDeg: 90 + 8 * random.normal(),
        axis: 'ra',
      },
      background: {
        level: 800,
        noise: 12 + Math.abs(random.normal()),
        gradientPercent: 3,
        gradientDirectionDeg: 90,
      },
      field: {
        tilt: { directionDeg: directionDeg(state), fwhmSpanPercent: (100 * blur.tilt) / fwhm },
        curvaturePercent: (100 * blur.curvature) / fwhm,
        radial: -state.curvature / 1000,
      },
      registrationStars: [],
      transparency: cloud ? 0.5 : 0.97,
      weight: cloud ? 0.3 : 0.9,
      blur,
      decision: keep ? 'keep' : 'reject',
      reasons: keep
        ? []
        : [{ code: cloud ? 'transparency' : 'elongation', message: '', value: null, limit: null }],
      causes: [],
    });
    focus.push({ file, offset, error: 2 });
  }
  const optics = {
    frames: framesPerNight,
    explainedVariance: 0.85,
    unit: 'micron',
    tilt: { directionDeg: directionDeg(state), span: tiltSpan, spanError: 1.5, angleArcmin: null },
    curvature: { corner: state.curvature, error: 2 },
    astigmatism: { corner: 0.5 * state.curvature + 2 * random.normal(), error: 2 },
    coma: {
      centreX: WIDTH_PX / 2 + 100 * random.normal(),
      centreY: HEIGHT_PX / 2,
      strength: 0.1,
      error: 0.01,
    },
    signsKnown: true,
    focus,
  };
  return {
    schema: 'starassay/night@1',
    version: 'simulated',
    frames,
    optics: [optics],
    night: { causes: [] },
  };
}

/** FWHM-equivalent of a defocus disc at f/5: diameter |z| / N, per-axis variance D^2 / 16. */
function blurOfDefocus(micron: number): number {
  return ((Math.abs(micron) / 5 / 4) * FWHM_PER_SIGMA * ARCSEC_PER_PX) / PIXEL_MICRON;
}

function directionDeg(state: NightState): number {
  return ((Math.atan2(state.tiltY, state.tiltX) * 180) / Math.PI + 360) % 360;
}

function header(start: Date, airmass: number, kelvin: number): Partial<FrameHeader> {
  return {
    kind: 'light',
    object: 'Lantern Field',
    filter: 'L',
    camera: 'Heron 26M',
    telescope: 'Marsh 106 with reducer',
    exposureSeconds: 180,
    gain: 100,
    electronsPerAdu: 0.25,
    readNoiseElectrons: 1.6,
    binning: [1, 1],
    dateObs: start.toISOString(),
    temperatureC: -10,
    focuserTemperatureC: kelvin,
    focuserPosition: 12_000,
    focuserMicronPerStep: 1,
    airmass,
    latitudeDeg: 47,
    longitudeDeg: LONGITUDE_DEG,
    pixelSizeMicron: [PIXEL_MICRON, PIXEL_MICRON],
    focalLengthMm: FOCAL_LENGTH_MM,
  };
}

function dayNumber(date: string): number {
  return Date.parse(`${date}T00:00:00Z`) / 86_400_000;
}
