import { makeRandom } from './random.js';

/** What to simulate of a rig's months. */
export interface RigYearOptions {
  readonly seed?: number;
  /** First evening, YYYY-MM-DD; default 2025-09-01. */
  readonly start?: string;
  /** Days covered; default 365. */
  readonly days?: number;
  /** Share of nights that are clear enough to work; default 0.35. */
  readonly clearShare?: number;
  /** Frames of a night, mean; default 40. */
  readonly framesPerNight?: number;
  /** Lasting changes of the rig; default: one of each kind. An empty list gives a rig that only scatters. */
  readonly events?: readonly RigEvent[];
}

/** Something that changes on the rig on a date and stays. */
export interface RigEvent {
  /** Evening of the first night on the new level, YYYY-MM-DD. */
  readonly date: string;
  readonly kind: 'tilt-step' | 'spacer' | 'guiding-decay' | 'guider-mended' | 'collimation';
  /**
   * tilt-step: new span, micrometres. spacer: millimetres added. guiding-decay: growth of the RMS from then on, arcsec per 30 days.
   * guider-mended: RMS in right ascension from then on, arcsec. collimation: new shift of the coma's centre, half-diagonals.
   */
  readonly size: number;
  /** New tilt direction of a tilt-step, degrees. */
  readonly directionDeg?: number;
  /** What the owner would have noted; null: nobody noticed. */
  readonly note: string | null;
}

/** Figures of one frame, as an assessment would give them; measurement scatter included. */
export interface RigYearFrame {
  readonly file: string;
  readonly dateObs: string;
  readonly filter: string;
  readonly exposureSeconds: number;
  readonly airmass: number;
  readonly pierSide: 'east' | 'west';
  readonly ambientTemperatureC: number;
  readonly focuserPosition: number;
  /** Image surface against the sensor, micrometres. */
  readonly focusMicron: number;
  readonly fwhmArcsec: number;
  readonly hfdArcsec: number;
  readonly elongation: number;
  readonly trailAngleDeg: number;
  readonly guidingRaArcsec: number;
  readonly guidingDecArcsec: number;
  readonly seeingArcsec: number;
  readonly backgroundAdu: number;
  readonly noiseAdu: number;
  readonly transparency: number;
  readonly starsMeasured: number;
  readonly decision: 'keep' | 'reject';
}

/** One night: the rig's state as a joint fit would give it, with errors, and its frames. */
export interface RigYearNight {
  /** Evening, YYYY-MM-DD. */
  readonly date: string;
  readonly seeingZenithArcsec: number;
  readonly moonPhase: number;
  readonly tilt: { readonly directionDeg: number; readonly spanMicron: number; readonly spanError: number };
  readonly curvature: { readonly cornerMicron: number; readonly error: number };
  readonly astigmatism: { readonly cornerMicron: number; readonly error: number };
  readonly coma: { readonly centreX: number; readonly centreY: number; readonly error: number };
  readonly focusMicronPerKelvin: number;
  readonly arcsecPerPx: number;
  /** The same without measurement scatter. */
  readonly truth: {
    readonly tiltSpanMicron: number;
    readonly tiltDirectionDeg: number;
    readonly curvatureMicron: number;
    readonly guidingRaArcsec: number;
    readonly spacingErrorMm: number;
  };
  readonly frames: readonly RigYearFrame[];
}

/** A rig over months. */
export interface RigYear {
  readonly schema: 'starassay/rig-year@1';
  readonly seed: number;
  readonly rig: {
    readonly camera: string;
    readonly telescope: string;
    readonly focalLengthMm: number;
    readonly apertureMm: number;
    readonly pixelMicron: number;
    readonly widthPx: number;
    readonly heightPx: number;
    readonly latitudeDeg: number;
    readonly longitudeDeg: number;
  };
  readonly events: readonly RigEvent[];
  readonly nights: readonly RigYearNight[];
}

const RIG: RigYear['rig'] = {
  camera: 'Plover M54',
  telescope: 'Teal 100/500',
  focalLengthMm: 500,
  apertureMm: 100,
  pixelMicron: 3.76,
  widthPx: 6248,
  heightPx: 4176,
  latitudeDeg: 46.2,
  longitudeDeg: 11.4,
};

const DAY = 86_400_000;

/** A draw tube that slips in November, a spacer in February, guiding that wears out in spring and is mended in June. */
function usualEvents(start: Date, days: number): readonly RigEvent[] {
  const on = (part: number): string => isoDay(new Date(start.getTime() + Math.round(part * days) * DAY));
  return [
    { date: on(0.2), kind: 'tilt-step', size: 46, directionDeg: 250, note: null },
    {
      date: on(0.33),
      kind: 'tilt-step',
      size: 11,
      directionDeg: 240,
      note: 'draw tube replaced by a threaded adapter',
    },
    { date: on(0.5), kind: 'spacer', size: 0.5, note: 'spacer of 0.5 mm added' },
    { date: on(0.6), kind: 'guiding-decay', size: 0.12, note: null },
    { date: on(0.82), kind: 'guider-mended', size: 0.45, note: 'worm cleaned and greased' },
  ];
}

/**
 * Months of a rig as nightly figures: seasons of seeing and temperature, the Moon, and lasting changes of tilt, spacing and guiding.
 *
 * Pure and seeded; no pixels are made. Blur adds in second moments; a width is 2.3548 times the root of the mean variance.
 */
export function simulateRigYear(options: RigYearOptions = {}): RigYear {
  const seed = options.seed ?? 1;
  const start = new Date(`${options.start ?? '2025-09-01'}T00:00:00Z`);
  const days = options.days ?? 365;
  const events = options.events ?? usualEvents(start, days);
  const weather = makeRandom(seed, 'weather');
  const nights: RigYearNight[] = [];
  // Clear nights come in spells.
  let spell = 0;
  for (let day = 0; day < days; day++) {
    spell = 0.6 * spell + 0.8 * weather.normal();
    if (normalShare(spell) > (options.clearShare ?? 0.35)) continue;
    nights.push(oneNight(seed, new Date(start.getTime() + day * DAY), events, options.framesPerNight ?? 40));
  }
  return { schema: 'starassay/rig-year@1', seed, rig: RIG, events, nights };
}

/** State of the rig on an evening, after everything that has happened to it. */
function rigState(
  date: string,
  events: readonly RigEvent[],
): RigYearNight['truth'] & { readonly comaShift: number } {
  let tiltSpanMicron = 12;
  let tiltDirectionDeg = 235;
  let spacingErrorMm = -0.5;
  let guidingRaArcsec = 0.5;
  let comaShift = 0.05;
  for (const event of [...events].sort((a, b) => a.date.localeCompare(b.date))) {
    if (event.date > date) continue;
    if (event.kind === 'tilt-step') {
      tiltSpanMicron = event.size;
      tiltDirectionDeg = event.directionDeg ?? tiltDirectionDeg;
    } else if (event.kind === 'spacer') spacingErrorMm += event.size;
    else if (event.kind === 'guider-mended') guidingRaArcsec = event.size;
    else if (event.kind === 'collimation') comaShift = event.size;
    else {
      // Wear ends when the guider is mended.
      const mended = events.find((e) => e.kind === 'guider-mended' && e.date > event.date && e.date <= date);
      const monthsWorn = (Date.parse(date) - Date.parse(event.date)) / DAY / 30;
      if (!mended) guidingRaArcsec += event.size * monthsWorn;
    }
  }
  return {
    tiltSpanMicron,
    tiltDirectionDeg,
    curvatureMicron: 60 * spacingErrorMm,
    guidingRaArcsec,
    spacingErrorMm,
    comaShift,
  };
}

function oneNight(
  seed: number,
  evening: Date,
  events: readonly RigEvent[],
  framesPerNight: number,
): RigYearNight {
  const date = isoDay(evening);
  const random = makeRandom(seed, 'night', date);
  const state = rigState(date, events);
  // 0 at the middle of January, 1 at the middle of July.
  const season = 0.5 - 0.5 * Math.cos((2 * Math.PI * (dayOfYear(evening) - 15)) / 365.25);
  const seeingZenithArcsec = (2.7 - 0.7 * season) * Math.exp(0.14 * random.normal());
  const eveningTemperature = -1 + 21 * season + 3 * random.normal();
  const moonPhase = 0.5 - 0.5 * Math.cos((2 * Math.PI * (evening.getTime() / DAY - 10_962.8)) / 29.530588);
  const moonUp = moonPhase > 0.4;
  const count = Math.max(4, random.poisson(framesPerNight * (1.25 - 0.5 * season)));
  const scaleArcsec = (206.264806 * RIG.pixelMicron) / RIG.focalLengthMm;
  const focalRatio = RIG.focalLengthMm / RIG.apertureMm;
  const filters = ['L', 'R', 'G', 'B'];
  const frames: RigYearFrame[] = [];
  let focus = 5 * random.normal();
  let temperature = eveningTemperature;
  let position = 8200 - 1.4 * (eveningTemperature - 10);
  const cloudFrom = random.uniform() < 0.3 ? Math.floor(random.uniform() * count) : count;
  for (let i = 0; i < count; i++) {
    const cooling = 0.05 * Math.exp(-i / 60);
    temperature -= cooling;
    focus += 8 * cooling;
    if (i > 0 && i % 12 === 0) {
      position += focus / 1.2;
      focus = 4 * random.normal();
    }
    const airmass = 1.02 + 0.6 * ((2 * (i + 0.5)) / count - 1) ** 2;
    const seeingArcsec = seeingZenithArcsec * airmass ** 0.6 * Math.exp(0.06 * random.normal());
    const guidingRaArcsec = state.guidingRaArcsec * Math.exp(0.12 * random.normal());
    const guidingDecArcsec = 0.4 * Math.exp(0.12 * random.normal());
    // Mean square of the tilt's and the curvature's defocus over the field, as blur in arcsec^2.
    const perMicron = (206.264806 / RIG.focalLengthMm / focalRatio) ** 2 / 16;
    const optics =
      (focus ** 2 + state.tiltSpanMicron ** 2 / 12 + 0.2 * state.curvatureMicron ** 2) * perMicron;
    const base = seeingArcsec ** 2 / 5.545 + optics + scaleArcsec ** 2 / 12;
    const major = base + Math.max(guidingRaArcsec, guidingDecArcsec) ** 2;
    const minor = base + Math.min(guidingRaArcsec, guidingDecArcsec) ** 2;
    const fwhmArcsec = 2.3548 * Math.sqrt(Math.sqrt(major * minor)) * (1 + 0.006 * random.normal());
    const clouded = i >= cloudFrom && i < cloudFrom + 6;
    const transparency = (clouded ? 0.5 : 1) * Math.exp(-0.13 * (airmass - 1)) * (1 + 0.01 * random.normal());
    const sky = 90 * (moonUp ? 1 + 5 * moonPhase ** 3 : 1) * Math.exp(0.03 * random.normal());
    const elongation = Math.sqrt(major / minor) + Math.abs(0.008 * random.normal());
    const moment = new Date(evening.getTime() + (18.5 + i * 0.087) * 3_600_000);
    frames.push({
      file: `rig-year_${date}_${String(i + 1).padStart(3, '0')}.fits`,
      dateObs: moment.toISOString(),
      filter: filters[Math.floor((i * filters.length) / count)],
      exposureSeconds: 300,
      airmass,
      pierSide: i < count / 2 ? 'east' : 'west',
      ambientTemperatureC: temperature,
      focuserPosition: Math.round(position),
      focusMicron: focus,
      fwhmArcsec,
      hfdArcsec: 1.08 * fwhmArcsec,
      elongation,
      trailAngleDeg: guidingRaArcsec >= guidingDecArcsec ? 4 : 94,
      guidingRaArcsec,
      guidingDecArcsec,
      seeingArcsec,
      backgroundAdu: 500 + sky / 0.78,
      noiseAdu: Math.sqrt(sky + 2.6) / 0.78,
      transparency,
      starsMeasured: random.poisson(900 * transparency),
      decision: transparency < 0.7 || elongation > 1.35 ? 'reject' : 'keep',
    });
  }
  const spanError = 2.5;
  return {
    date,
    seeingZenithArcsec,
    moonPhase,
    tilt: {
      directionDeg: (state.tiltDirectionDeg + (200 / state.tiltSpanMicron) * random.normal() + 360) % 360,
      spanMicron: Math.abs(state.tiltSpanMicron + spanError * random.normal()),
      spanError,
    },
    curvature: { cornerMicron: state.curvatureMicron + 4 * random.normal(), error: 4 },
    astigmatism: { cornerMicron: state.curvatureMicron / 2 - 12 + 3 * random.normal(), error: 3 },
    coma: {
      centreX: state.comaShift + 0.05 * random.normal(),
      centreY: 0.05 * random.normal(),
      error: 0.05,
    },
    focusMicronPerKelvin: -8 + 0.8 * random.normal(),
    arcsecPerPx: scaleArcsec * (1 + 0.0002 * random.normal()),
    truth: {
      tiltSpanMicron: state.tiltSpanMicron,
      tiltDirectionDeg: state.tiltDirectionDeg,
      curvatureMicron: state.curvatureMicron,
      guidingRaArcsec: state.guidingRaArcsec,
      spacingErrorMm: state.spacingErrorMm,
    },
    frames,
  };
}

function isoDay(date: Date): string {
  return date.toISOString().slice(0, 10);
}

function dayOfYear(date: Date): number {
  return Math.floor((date.getTime() - Date.UTC(date.getUTCFullYear(), 0, 1)) / DAY);
}

/** Share of a standard normal law below x (logistic approximation, within 0.01). */
function normalShare(x: number): number {
  return 1 / (1 + Math.exp(-1.702 * x));
}
