import type { FieldCell } from '../../src/field/types.js';
import type { FrameHeader } from '../../src/fits/types.js';
import type { GroupSummary, InwardCounts, JudgedFrame } from '../../src/night/types.js';
import { fitNight } from '../../src/night/joint-fit.js';
import { isotropicResponse, shearResponse, widthRatio } from '../../src/night/blur-response.js';
import type { NightFigures } from '../../src/causes/types.js';
import { normal, seeded } from '../field/made-stars.js';

/** A rig of plain numbers: 150 mm f/5, 3.76 um pixels, 3000 x 2000 of them, 1.034 arcsec a pixel. */
export const RIG = { widthPx: 3000, heightPx: 2000, pitchMicron: 3.76, focalLengthMm: 750, apertureMm: 150 };
const ARCSEC_PER_PX = (206.264806 * RIG.pitchMicron) / RIG.focalLengthMm;
const RATIO = RIG.focalLengthMm / RIG.apertureMm;

/** What is true of one frame; everything left out is in order. */
export interface MadeFrame {
  readonly seeingArcsec?: number;
  readonly focusMicron?: number;
  readonly tiltMicron?: number;
  readonly tiltDeg?: number;
  readonly medialMicron?: number;
  readonly astigmatismMicron?: number;
  /** Trail: RMS along its axis, arcsec, and the axis in the pixel frame. */
  readonly trailArcsec?: number;
  readonly trailDeg?: number;
  /** Turn of the field during the exposure, arcminutes, about a point in half-diagonals. */
  readonly turnArcmin?: number;
  readonly turnCentre?: readonly [number, number];
  /** Third-order coma: coefficient at a half-diagonal from its centre, pixels, and that centre in half-diagonals. */
  readonly comaPx?: number;
  readonly comaCentre?: readonly [number, number];
  readonly transparency?: number;
  readonly level?: number;
  readonly noise?: number;
  /** Part of the light in a wide halo: raises the half-flux diameter. */
  readonly halo?: number;
  readonly header?: Partial<FrameHeader>;
  readonly registration?: Partial<NonNullable<JudgedFrame['registration']>> | null;
  readonly streaks?: JudgedFrame['streaks'];
  readonly stars?: number;
  readonly decision?: 'keep' | 'reject';
  readonly weight?: number;
}

export interface MadeNight {
  readonly frames: readonly MadeFrame[];
  readonly seed?: number;
  readonly starsPerCell?: number;
  readonly cells?: readonly [columns: number, rows: number];
  /** Without plate scale, focal ratio, times, temperatures. */
  readonly bare?: boolean;
  /** What the user said of the focuser's sense. */
  readonly inward?: InwardCounts;
}

/** Build the figures of a night by formula, with noise: what the pipeline would have measured. */
export function madeNight(night: MadeNight): NightFigures {
  const random = seeded(night.seed ?? 7);
  const [columns, rows] = night.cells ?? [6, 4];
  const stars = night.starsPerCell ?? 12;
  const judged = night.frames.map((frame, n) => madeFrame(frame, n, night, random, columns, rows, stars));
  const fit = fitNight(judged, night.inward);
  const frames = judged.map((frame, k) => ({ ...frame, blur: fit.blur[k] }));
  return { frames, groups: groupsOf(frames), optics: fit.optics, limits: LIMITS };
}

const LIMITS = {
  fwhmFactor: 1.25,
  fwhmArcsec: null,
  elongation: 1.35,
  transparency: 0.7,
  weight: 0.25,
  minStars: 10,
  keepBest: null,
};

function madeFrame(
  made: MadeFrame,
  n: number,
  night: MadeNight,
  random: () => number,
  columns: number,
  rows: number,
  starsPerCell: number,
): JudgedFrame {
  const { widthPx, heightPx, pitchMicron } = RIG;
  const half = Math.hypot(widthPx, heightPx) / 2;
  const disc = 1 / (RATIO * pitchMicron);
  const seeing = (made.seeingArcsec ?? 2.6) / ARCSEC_PER_PX;
  const V = 0.2 * seeing * seeing + 1 / 12;
  const tiltDeg = ((made.tiltDeg ?? 30) * Math.PI) / 180;
  const spanUnit =
    (2 * (Math.abs(Math.cos(tiltDeg)) * widthPx + Math.abs(Math.sin(tiltDeg)) * heightPx)) / 2 / half;
  const tilt = ((made.tiltMicron ?? 0) / spanUnit) * disc;
  const z0 = (made.focusMicron ?? 0) * disc;
  const km = (made.medialMicron ?? 0) * disc;
  const ka = (made.astigmatismMicron ?? 0) * disc;
  const trail = ((made.trailArcsec ?? 0.2) / ARCSEC_PER_PX) ** 2;
  const trailDeg = ((made.trailDeg ?? 160 * random()) * Math.PI) / 90;
  const turn = ((made.turnArcmin ?? 0) / 60 / 180) * Math.PI * half;
  const [cu, cv] = made.turnCentre ?? [0, 0];
  const noise = 0.03 / Math.sqrt(starsPerCell);
  const cells: FieldCell[] = [];
  let mean = 0;
  let meanPlus = 0;
  let meanCross = 0;
  let meanAdded = 0;
  for (let row = 0; row < rows; row++)
    for (let column = 0; column < columns; column++) {
      const x = ((column + 0.5) / columns) * widthPx + 0.5;
      const y = ((row + 0.5) / rows) * heightPx + 0.5;
      const u = (x - (widthPx + 1) / 2) / half;
      const v = (y - (heightPx + 1) / 2) / half;
      const r2 = u * u + v * v;
      const zm = z0 + tilt * (Math.cos(tiltDeg) * u + Math.sin(tiltDeg) * v) + km * r2;
      const [a, b] = [zm + ka * r2, zm - ka * r2];
      const cos = r2 > 0 ? (u * u - v * v) / r2 : 1;
      const sin = r2 > 0 ? (2 * u * v) / r2 : 0;
      const [du, dv] = [u - cu, v - cv];
      const w = (turn * turn) / 12;
      // Third-order coma: third of C^2 on average of the axes, a sixth as half their difference, third moment 0.07 (C/sigma)^3.
      const cx = (made.comaPx ?? 0) * (u - (made.comaCentre?.[0] ?? 0));
      const cy = (made.comaPx ?? 0) * (v - (made.comaCentre?.[1] ?? 0));
      const c2 = cx * cx + cy * cy;
      const held = 1 / (1 + (0.31 * c2) / 3 / V);
      const added = (a * a + b * b) / 32 + trail / 2 + (w * (du * du + dv * dv)) / 2 + (held * c2) / 3;
      const shear = (a * a - b * b) / 32;
      const plus =
        shear * cos +
        (trail / 2) * Math.cos(trailDeg) -
        (w * (du * du - dv * dv)) / 2 +
        (held * (cx * cx - cy * cy)) / 6;
      const cross = shear * sin + (trail / 2) * Math.sin(trailDeg) - w * du * dv + (held * cx * cy) / 3;
      const q = added / V;
      const iso = V * isotropicResponse(q).value * (1 + noise * 2 * normal(random));
      const B = shearResponse(q).value;
      const p = plus * B + iso * noise * 1.4 * normal(random);
      const c = cross * B + iso * noise * 1.4 * normal(random);
      const e = Math.min(0.95, Math.hypot(p, c) / iso);
      mean += iso;
      meanPlus += p;
      meanCross += c;
      meanAdded += q;
      cells.push({
        column,
        row,
        x,
        y,
        stars: starsPerCell,
        fwhmPx: Math.sqrt((iso / 0.2) * Math.sqrt(1 - e * e)),
        fwhmErrorPx: seeing * noise,
        elongation: Math.sqrt((1 + e) / (1 - e)),
        angleDeg: ((Math.atan2(c, p) * 90) / Math.PI + 180) % 180,
        mxx: iso + p,
        mxy: c,
        myy: iso - p,
        mError: 2 * noise * iso,
        skewX: (0.07 * c2 * cx) / iso ** 1.5 + 0.01 * normal(random),
        skewY: (0.07 * c2 * cy) / iso ** 1.5 + 0.01 * normal(random),
        skewError: 0.01,
      });
    }
  const count = cells.length;
  mean /= count;
  meanPlus /= count;
  meanCross /= count;
  meanAdded /= count;
  const e = Math.hypot(meanPlus, meanCross) / mean;
  const fwhm = Math.sqrt((mean / 0.2) * Math.sqrt(1 - e * e)) * (1 + 0.003 * normal(random));
  const ratio = 1.142 * widthRatio(meanAdded).value * (1 + (made.halo ?? 0));
  const meanE =
    cells.reduce(
      (sum, cell) => sum + Math.hypot(cell.mxx - cell.myy, 2 * cell.mxy) / (cell.mxx + cell.myy),
      0,
    ) / count;
  const angle = ((Math.atan2(meanCross, meanPlus) * 90) / Math.PI + 180) % 180;
  const start = Date.UTC(2026, 8, 12, 20, 5) + n * 130_000;
  const bare = night.bare ?? false;
  const header: FrameHeader = {
    kind: 'light',
    object: 'Heron Field',
    filter: 'L',
    camera: 'Plover C26',
    telescope: 'Heron 150/750',
    site: 'Fallow Ridge',
    exposureSeconds: 120,
    gain: 100,
    offset: 50,
    electronsPerAdu: 0.78,
    readNoiseElectrons: 1.6,
    binning: [1, 1],
    dateObs: bare ? null : new Date(start).toISOString(),
    temperatureC: -10,
    ambientTemperatureC: bare ? null : 8 - 0.4 * ((n * 130) / 3600),
    focuserTemperatureC: null,
    focuserPosition: bare ? null : 12400,
    focuserMicronPerStep: 1.5,
    pierSide: null,
    altitudeDeg: 65,
    azimuthDeg: 180,
    airmass: 1.1,
    rotatorDeg: null,
    raDeg: 311.5,
    decDeg: 43.8,
    latitudeDeg: 46.2,
    longitudeDeg: 11.4,
    elevationMetre: 640,
    pixelSizeMicron: [3.76, 3.76],
    focalLengthMm: 750,
    apertureMm: 150,
    focalRatio: bare ? null : 5,
    scaleKeywordArcsecPerPx: null,
    wcs: null,
    sources: {},
    missing: {},
    ...made.header,
  };
  const level = made.level ?? 800;
  return {
    file: `frame-${String(n + 1).padStart(3, '0')}.fits`,
    path: `/night/frame-${n + 1}.fits`,
    fileBytes: 1e7,
    header,
    image: { widthPx, heightPx, mosaic: null, hdu: 0 },
    scale: bare
      ? null
      : {
          arcsecPerPx: ARCSEC_PER_PX,
          source: 'focal-length',
          pixelPitchMicron: pitchMicron,
          focalLengthMm: RIG.focalLengthMm,
          focalRatio: RATIO,
          conflicts: [],
        },
    orientation: null,
    stars: {
      detected: made.stars ?? 600,
      measured: made.stars ?? 420,
      saturated: 2,
      hotPixels: 10,
      cosmicRays: 1,
    },
    fwhm: { px: fwhm, arcsec: bare ? null : fwhm * ARCSEC_PER_PX, standardError: 0.003 * fwhm },
    hfd: {
      px: fwhm * ratio * (1 + 0.004 * normal(random)),
      arcsec: bare ? null : fwhm * ratio * ARCSEC_PER_PX,
      standardError: 0.004 * fwhm,
    },
    elongation: Math.sqrt((1 + meanE) / (1 - meanE)),
    elongationError: 0.003,
    beta: 4,
    trail: {
      angleDeg: e > 0.01 ? angle : null,
      coherence: Math.min(1, e / Math.max(1e-6, meanE)),
      significance: e / 0.004,
      skyAngleDeg: null,
      axis: null,
    },
    background: {
      level,
      noise: made.noise ?? 12 * Math.sqrt(level / 800),
      gradientPercent: 4,
      gradientDirectionDeg: 200,
    },
    limitingFlux: 100,
    field: {
      columns,
      rows,
      cells,
      tilt: null,
      curvaturePercent: null,
      curvatureErrorPercent: null,
      radial: null,
      radialError: null,
      corners: [],
    },
    streaks: made.streaks ?? [],
    registrationStars: [],
    pictures: { preview: null, atlas: null },
    warnings: [],
    unmeasured: {},
    elapsedMs: 100,
    group: `Heron Field ${header.filter} 120 s`,
    registration:
      made.registration === null
        ? null
        : {
            matched: 300,
            dxPx: 5 * normal(random),
            dyPx: 5 * normal(random),
            rotationDeg: 0.002 * normal(random),
            scale: 1,
            flipped: false,
            rmsPx: 0.1,
            ...made.registration,
          },
    transparency: made.transparency === undefined ? 1 + 0.01 * normal(random) : made.transparency,
    weight: made.weight ?? 1,
    blur: null,
    decision: made.decision ?? 'keep',
    reasons: [],
    causes: [],
  };
}

function groupsOf(frames: readonly JudgedFrame[]): GroupSummary[] {
  return [...new Set(frames.map((f) => f.group))].map((name) => {
    const members = frames.filter((f) => f.group === name);
    const better = [...members]
      .sort((a, b) => (a.fwhm.px ?? 9e9) - (b.fwhm.px ?? 9e9))
      .slice(0, Math.ceil(members.length / 2));
    const middle = (pick: (f: JudgedFrame) => number | null): number | null => {
      const values = better
        .map(pick)
        .filter((v): v is number => v !== null)
        .sort((a, b) => a - b);
      return values.length > 0 ? values[Math.floor(values.length / 2)] : null;
    };
    const lowest = [...members].map((f) => f.background.level ?? 0).sort((a, b) => a - b);
    return {
      name,
      frames: members.length,
      kept: members.filter((f) => f.decision === 'keep').length,
      reference: {
        fwhmPx: middle((f) => f.fwhm.px),
        fwhmArcsec: middle((f) => f.fwhm.arcsec),
        elongation: middle((f) => f.elongation),
        level: lowest[Math.floor(lowest.length / 4)],
        noise: middle((f) => f.background.noise),
      },
    };
  });
}
