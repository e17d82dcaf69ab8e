import type { frameColumns } from './schema.js';
import type { RecordableFrame } from './types.js';
import { airmassOf } from './zenith.js';

type SqlValue<T> = T extends 'TEXT' ? string | null : number | null;

/** A frame as the history keeps it. */
export type FrameRow = { readonly [K in keyof typeof frameColumns]: SqlValue<(typeof frameColumns)[K]> };

/** What the history keeps of a frame; `focusOffsetMicron` from the night's joint fit, null without one. */
export function frameRow(frame: RecordableFrame, focusOffsetMicron: number | null): FrameRow {
  const { header, scale, blur } = frame;
  const inArcsec = blur?.unit === 'arcsec' ? blur : null;
  return {
    file: frame.file,
    fileBytes: frame.fileBytes,
    dateObs: header.dateObs,
    object: header.object,
    filter: header.filter,
    exposureSeconds: finite(header.exposureSeconds),
    gain: finite(header.gain),
    binning: header.binning?.[0] ?? null,
    kept: frame.decision === 'keep' ? 1 : 0,
    reasons: frame.reasons.map((reason) => reason.code).join(' '),
    causes: frame.causes.map((cause) => cause.code).join(' '),
    stars: finite(frame.stars.measured),
    fwhmPx: finite(frame.fwhm.px),
    fwhmErrorPx: finite(frame.fwhm.standardError),
    fwhmArcsec: finite(frame.fwhm.arcsec),
    hfdPx: finite(frame.hfd.px),
    elongation: finite(frame.elongation),
    trailAngleDeg: finite(frame.trail.angleDeg),
    trailSkyAngleDeg: finite(frame.trail.skyAngleDeg),
    trailAxis: frame.trail.axis,
    level: finite(frame.background.level),
    noise: finite(frame.background.noise),
    transparency: finite(frame.transparency),
    weight: finite(frame.weight),
    airmass: finite(airmassOf(header)),
    temperatureC: finite(header.temperatureC),
    focusTemperatureC: finite(header.focuserTemperatureC ?? header.ambientTemperatureC),
    focuserPosition: finite(header.focuserPosition),
    focuserMicronPerStep: finite(header.focuserMicronPerStep),
    focusOffsetMicron: finite(focusOffsetMicron),
    tiltDirectionDeg: finite(frame.field.tilt?.directionDeg),
    tiltSpanPercent: finite(frame.field.tilt?.fwhmSpanPercent),
    curvaturePercent: finite(frame.field.curvaturePercent),
    radial: finite(frame.field.radial),
    seeingArcsec: finite(inArcsec?.seeing),
    focusArcsec: finite(inArcsec?.focus),
    tiltArcsec: finite(inArcsec?.tilt),
    curvatureArcsec: finite(inArcsec?.curvature),
    comaArcsec: finite(inArcsec?.coma),
    trackingArcsec: finite(inArcsec?.tracking),
    arcsecPerPx: finite(scale?.arcsecPerPx),
    scaleSource: scale?.source ?? null,
    focalLengthMm: finite(scale?.focalLengthMm),
    electronsPerAdu: finite(header.electronsPerAdu),
    readNoiseElectrons: finite(header.readNoiseElectrons),
    rotationDeg: finite(header.rotatorDeg ?? frame.orientation?.northDeg),
  };
}

/** NaN and infinities are not figures: stored as null. */
function finite(value: number | null | undefined): number | null {
  return value !== null && value !== undefined && Number.isFinite(value) ? value : null;
}
