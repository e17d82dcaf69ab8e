import type { CauseCode, CauseFinding, NightAssessment } from '../../causes/types.js';
import { combineAtlases, combineFields, type StarAtlas } from '../../field/index.js';
import type { FieldPattern } from '../../field/types.js';
import type { JudgedFrame, OpticalState } from '../../night/types.js';
import type { MapTilt } from '../plot/sensor-map.js';
import { median } from 'simple-statistics';

/** The sensor map of one group of frames. */
export interface CornersSubject {
  readonly name: string;
  readonly files: readonly string[];
  readonly widthPx: number;
  readonly heightPx: number;
  readonly arcsecPerPx: number | null;
  /** Median over the frames. */
  readonly fwhmPx: number | null;
  readonly elongation: number | null;
  readonly field: FieldPattern;
  /** Tilt of the joint fit, where tilt was found to be a cause; direction towards the side where best focus lies farther out. */
  readonly sensorTilt: MapTilt | null;
  /** Null when no picture was asked for, or no star was fit for it. */
  readonly atlas: StarAtlas | null;
}

/** What `corners` answers: the pattern over the sensor, and the causes that shape it. */
export interface CornersReport {
  readonly version: string;
  readonly subjects: readonly CornersSubject[];
  readonly causes: readonly CauseFinding[];
  readonly optics: readonly OpticalState[];
  readonly warnings: readonly string[];
}

/** Causes that show in the pattern over the sensor. */
const FIELD_CAUSES: readonly CauseCode[] = [
  'sensor-tilt',
  'spacing-short',
  'spacing-long',
  'decentred-optics',
  'field-rotation',
  'focus-offset',
];

/**
 * Put a night's frames together to one sensor map a group. Kept frames only where a group has some (a cloud or a gust says nothing
 * about the corners), else all of it. A group whose frames differ in size is taken at the size of its first.
 */
export function cornersReport(night: NightAssessment): CornersReport {
  const names = [...new Set(night.frames.map((frame) => frame.group))];
  return {
    version: night.version,
    subjects: names.map((name) => subjectOf(name, night)),
    causes: night.night.causes.filter((cause) => FIELD_CAUSES.includes(cause.code)),
    optics: night.optics,
    warnings: night.warnings,
  };
}

function subjectOf(name: string, night: NightAssessment): CornersSubject {
  const members = night.frames.filter((frame) => frame.group === name);
  const kept = members.filter((frame) => frame.decision === 'keep');
  const pool = kept.length > 0 ? kept : members;
  const { widthPx, heightPx } = pool[0]!.image;
  const used = pool.filter((frame) => frame.image.widthPx === widthPx && frame.image.heightPx === heightPx);
  const atlases = used.flatMap((frame) => (frame.pictures.meanStars ? [frame.pictures.meanStars] : []));
  const withStars = atlases.filter((atlas) => atlas.cells.some((cell) => cell.stars > 0));
  return {
    name,
    files: used.map((frame) => frame.file),
    widthPx,
    heightPx,
    arcsecPerPx: used.find((frame) => frame.scale !== null)?.scale?.arcsecPerPx ?? null,
    fwhmPx: middle(used.map((frame) => frame.fwhm.px)),
    elongation: middle(used.map((frame) => frame.elongation)),
    field: combineFields(
      used.map((frame) => frame.field),
      widthPx,
      heightPx,
    ),
    sensorTilt: tiltFound(used, night),
    atlas: withStars.length > 0 ? combineAtlases(withStars) : null,
  };
}

function tiltFound(used: readonly JudgedFrame[], night: NightAssessment): MapTilt | null {
  const files = new Set(used.map((frame) => frame.file));
  const found = night.night.causes.some(
    ({ code, answer, frames }) =>
      code === 'sensor-tilt' && answer === 'found' && frames.some((file) => files.has(file)),
  );
  const state = night.optics.find(
    ({ focus, tilt }) => tilt !== null && focus.some(({ file }) => files.has(file)),
  );
  if (!found || !state?.tilt) return null;
  const { directionDeg, span, spanError } = state.tilt;
  return { directionDeg, span, spanError, unit: state.unit === 'micron' ? 'µm' : 'px of blur' };
}

function middle(values: readonly (number | null)[]): number | null {
  const known = values.filter((value): value is number => value !== null);
  return known.length > 0 ? median(known) : null;
}

/** A width in pixels as arcseconds with its sign where the scale is known, else as pixels. */
export function subjectUnit(subject: CornersSubject): { readonly perPx: number; readonly sign: string } {
  return subject.arcsecPerPx === null ? { perPx: 1, sign: ' px' } : { perPx: subject.arcsecPerPx, sign: '″' };
}
