import type { NightAssessment } from '../causes/types.js';
import type { JudgedFrame } from '../night/types.js';
import { csvField } from './sanitize.js';
import { tellingReasons } from './view.js';

/** The columns of the CSV, in order: name in the header row, and what stands below it. Empty: not measured. */
const columns: readonly (readonly [name: string, value: (frame: JudgedFrame) => string | number | null])[] = [
  ['file', (frame) => frame.file],
  ['group', (frame) => frame.group],
  ['decision', (frame) => frame.decision],
  [
    'reason_codes',
    (frame) =>
      tellingReasons(frame)
        .map((reason) => reason.code)
        .join(' '),
  ],
  ['reason', (frame) => tellingReasons(frame)[0]?.message ?? null],
  ['date_obs_utc', (frame) => frame.header.dateObs],
  ['object', (frame) => frame.header.object],
  ['filter', (frame) => frame.header.filter],
  ['exposure_s', (frame) => frame.header.exposureSeconds],
  ['gain', (frame) => frame.header.gain],
  ['temperature_c', (frame) => frame.header.temperatureC],
  ['focuser_position', (frame) => frame.header.focuserPosition],
  ['scale_arcsec_per_px', (frame) => frame.scale?.arcsecPerPx ?? null],
  ['fwhm_px', (frame) => frame.fwhm.px],
  ['fwhm_arcsec', (frame) => frame.fwhm.arcsec],
  ['fwhm_error_px', (frame) => frame.fwhm.standardError],
  ['hfd_px', (frame) => frame.hfd.px],
  ['hfd_arcsec', (frame) => frame.hfd.arcsec],
  ['elongation', (frame) => frame.elongation],
  ['trail_angle_deg', (frame) => frame.trail.angleDeg],
  ['stars_detected', (frame) => frame.stars.detected],
  ['stars_measured', (frame) => frame.stars.measured],
  ['stars_saturated', (frame) => frame.stars.saturated],
  ['background_adu', (frame) => frame.background.level],
  ['noise_adu', (frame) => frame.background.noise],
  ['gradient_percent', (frame) => frame.background.gradientPercent],
  ['transparency', (frame) => frame.transparency],
  ['weight', (frame) => frame.weight],
  ['dx_px', (frame) => frame.registration?.dxPx ?? null],
  ['dy_px', (frame) => frame.registration?.dyPx ?? null],
  ['rotation_deg', (frame) => frame.registration?.rotationDeg ?? null],
  ['tilt_direction_deg', (frame) => frame.field.tilt?.directionDeg ?? null],
  ['tilt_fwhm_span_percent', (frame) => frame.field.tilt?.fwhmSpanPercent ?? null],
  ['curvature_percent', (frame) => frame.field.curvaturePercent],
  ['curvature_error_percent', (frame) => frame.field.curvatureErrorPercent],
  ['radial', (frame) => frame.field.radial],
  ['radial_error', (frame) => frame.field.radialError],
  [
    'causes',
    (frame) => frame.causes.map((cause) => `${cause.code}:${cause.confidence.toFixed(2)}`).join(' '),
  ],
];

/** The night as CSV (RFC 4180, UTF-8, CRLF): a header row, then one row a frame in order of time. */
export function nightCsv(night: NightAssessment): string {
  const rows = night.frames.map((frame) =>
    columns
      .map(([, value]) => value(frame))
      .map((value) => csvField(typeof value === 'number' ? Number(value.toPrecision(7)) : value))
      .join(','),
  );
  return [columns.map(([name]) => name).join(','), ...rows].map((row) => `${row}\r\n`).join('');
}
