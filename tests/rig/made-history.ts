import { parseNightDocument } from '../../src/rig/documents/index.js';
import { findRig, openStore, recordNight } from '../../src/rig/index.js';
import type { RigStore } from '../../src/rig/index.js';
import type { NightPoint, RecordableFrame, RecordableNight } from '../../src/rig/types.js';

/** What a made night may choose; everything else is as an invented refractor would have it. */
export interface MadeNight {
  readonly frames?: number;
  /** Null: a night without a joint fit. */
  readonly tiltMicron?: number | null;
  readonly tiltDirectionDeg?: number;
  readonly curvatureMicron?: number;
  readonly fwhmArcsec?: number;
  readonly airmass?: number;
  readonly trackingArcsec?: number;
  readonly elongation?: number;
  readonly filter?: string;
  readonly rotationDeg?: number | null;
  readonly header?: Readonly<Record<string, unknown>>;
  readonly folder?: string;
  readonly opticsFrames?: number;
}

/** A night document of an invented rig, subs every two minutes from 20:00 UTC at 12 degrees east. */
export function madeDocument(date: string, choice: MadeNight = {}): object {
  const count = choice.frames ?? 5;
  const start = Date.parse(`${date}T20:00:00Z`);
  const names = Array.from({ length: count }, (_, i) => `${choice.folder ?? ''}${date}-${i}.fits`);
  const fwhm = choice.fwhmArcsec ?? 2.5;
  const rotation = choice.rotationDeg === undefined ? 91 : choice.rotationDeg;
  const frames = names.map((file, i) => ({
    file,
    fileBytes: 50_000_000,
    header: {
      kind: 'light',
      object: 'Lantern Field',
      filter: choice.filter ?? 'L',
      camera: 'Heron 26M',
      telescope: 'Marsh 106',
      exposureSeconds: 110,
      binning: [1, 1],
      dateObs: new Date(start + i * 120_000).toISOString(),
      temperatureC: -10,
      airmass: choice.airmass ?? 1,
      longitudeDeg: 12,
      focalLengthMm: 530,
      pixelSizeMicron: [3.76, 3.76],
      electronsPerAdu: 0.25,
      readNoiseElectrons: 1.5,
      ...choice.header,
    },
    image: { widthPx: 6248, heightPx: 4176 },
    scale: { arcsecPerPx: 1.4633, source: 'wcs', pixelPitchMicron: 3.76, focalLengthMm: 530 },
    orientation: rotation === null ? null : { northDeg: rotation },
    stars: { measured: 700 },
    fwhm: { px: fwhm / 1.4633, arcsec: fwhm, standardError: 0.01 },
    hfd: { px: fwhm / 1.4633, arcsec: fwhm, standardError: 0.01 },
    elongation: choice.elongation ?? 1.08 + 0.001 * i,
    trail: { angleDeg: 1, skyAngleDeg: 90, axis: 'ra' },
    background: { level: 800, noise: 12 + 0.01 * i },
    field: { tilt: { directionDeg: 10, fwhmSpanPercent: 6 }, curvaturePercent: 5, radial: 0.01 },
    transparency: 0.97,
    weight: 0.9,
    blur: {
      unit: 'arcsec',
      seeing: 2.2,
      focus: 0.4,
      tilt: 0.2,
      curvature: 0.3,
      coma: null,
      tracking: choice.trackingArcsec ?? 0.9,
    },
    decision: i === 0 && count > 3 ? 'reject' : 'keep',
    reasons: i === 0 && count > 3 ? [{ code: 'fwhm' }] : [],
    causes: [],
  }));
  const tilt = choice.tiltMicron === undefined ? 20 : choice.tiltMicron;
  const optics = {
    frames: choice.opticsFrames ?? count,
    explainedVariance: 0.8,
    unit: 'micron',
    tilt: { directionDeg: choice.tiltDirectionDeg ?? 0, span: tilt, spanError: 1, angleArcmin: null },
    curvature: { corner: choice.curvatureMicron ?? -30, error: 2 },
    astigmatism: { corner: -12, error: 2 },
    coma: { centreX: 3124.5, centreY: 2088.5, strength: 0.1, error: 0.01 },
    signsKnown: true,
    focus: names.map((file, i) => ({ file, offset: i, error: 1 })),
  };
  return {
    schema: 'starassay/night@1',
    version: '0.0.0',
    frames,
    optics: tilt === null ? [] : [optics],
    night: { causes: [] },
  };
}

export function madeNight(date: string, choice: MadeNight = {}): RecordableNight {
  return parseNightDocument(JSON.stringify(madeDocument(date, choice)), date);
}

export function madeFrame(choice: MadeNight = {}): RecordableFrame {
  return madeNight('2026-03-01', { ...choice, frames: 1 }).frames[0];
}

/** Evening dates, one a day. */
export function evenings(first: string, count: number): string[] {
  const start = Date.parse(`${first}T00:00:00Z`);
  return Array.from({ length: count }, (_, i) => new Date(start + i * 86_400_000).toISOString().slice(0, 10));
}

/** A history in memory with a night for each choice, on following evenings. */
export function madeStore(choices: readonly MadeNight[], first = '2026-01-01'): RigStore {
  const store = openStore(':memory:');
  evenings(first, choices.length).forEach((date, i) =>
    recordNight(store, madeNight(date, { frames: 3, ...choices[i] })),
  );
  return store;
}

/** Its only rig. */
export function onlyRig(store: RigStore) {
  return findRig(store, undefined);
}

/** Points of a trend on following evenings. */
export function pointsOf(values: readonly number[], first = '2026-01-01'): NightPoint[] {
  return evenings(first, values.length).map((date, i) => ({
    nightId: `rig/${date}`,
    date,
    value: values[i],
    spread: 1,
    error: 0.5,
    frames: 30,
  }));
}

/** A quiet scatter, about +-1.2, without a random generator. */
export function wobble(count: number): number[] {
  return Array.from({ length: count }, (_, i) => 1.2 * Math.sin(i * i * 1.7 + 0.3));
}
