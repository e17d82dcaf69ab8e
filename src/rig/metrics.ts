import { UsageError } from '../errors.js';
import type { MetricCode, MetricSubject } from './types.js';

export interface Metric {
  readonly code: MetricCode;
  readonly title: string;
  /** Unit as printed. */
  readonly unit: string;
  readonly decimals: number;
  readonly subject: MetricSubject;
  /** Which way is an improvement; null: any change is worth a look, none is good. `zero`: smaller size, either sign. */
  readonly better: 'lower' | 'higher' | 'zero' | null;
  /** Smallest value it can have; null: none. */
  readonly least: number | null;
  /** What it is, for --help and the page. */
  readonly about: string;
}

/** Every figure the history keeps, in the order it is shown. How each is worked out stands in `night-figures.ts`. */
export const metrics: readonly Metric[] = [
  metric(
    'tilt',
    'Sensor tilt',
    'µm',
    1,
    'optics',
    'lower',
    'highest minus lowest corner of the tilted sensor, from the joint fit of the night',
  ),
  metric(
    'tilt-x',
    'Tilt along x',
    'µm',
    1,
    'optics',
    'zero',
    'part of the tilt along the rows of the sensor',
  ),
  metric(
    'tilt-y',
    'Tilt along y',
    'µm',
    1,
    'optics',
    'zero',
    'part of the tilt along the columns of the sensor',
  ),
  metric(
    'tilt-fwhm',
    'Softness across the field',
    '%',
    1,
    'optics',
    'lower',
    'rise of FWHM from the sharpest to the softest side; seeing dilutes it',
  ),
  metric(
    'curvature',
    'Field curvature',
    'µm',
    1,
    'optics',
    'zero',
    'medial image surface at the corner against the centre',
  ),
  metric(
    'astigmatism',
    'Astigmatism',
    'µm',
    1,
    'optics',
    'zero',
    'half the distance between tangential and sagittal surface at the corner',
  ),
  metric(
    'coma-centre',
    'Coma centre off axis',
    '% of half diagonal',
    0,
    'optics',
    'lower',
    'distance of the centre of coma from the middle of the sensor',
  ),
  metric(
    'tracking',
    'Tracking blur',
    '″',
    2,
    'tracking',
    'lower',
    'what tracking adds to the stars, FWHM-equivalent, seeing and optics taken out',
  ),
  metric(
    'guiding-ra',
    'Guiding in right ascension',
    '″ RMS',
    2,
    'tracking',
    'lower',
    'RMS of the tracking blur along right ascension',
  ),
  metric(
    'guiding-dec',
    'Guiding in declination',
    '″ RMS',
    2,
    'tracking',
    'lower',
    'RMS of the tracking blur along declination',
  ),
  metric(
    'elongation',
    'Elongation',
    '',
    3,
    'all',
    'lower',
    'median elongation of the stars; good seeing shows more of it, bad seeing hides it',
  ),
  metric(
    'focus-blur',
    'Focus blur',
    '″',
    2,
    'focus',
    'lower',
    'what defocus adds to the stars, FWHM-equivalent',
  ),
  metric(
    'rig-blur',
    'Blur made by the rig',
    '″',
    2,
    'optics',
    'lower',
    'focus, tilt, curvature, coma and tracking together, seeing taken out',
  ),
  metric(
    'focus-law',
    'Focus against temperature',
    'µm/K',
    2,
    'focus',
    null,
    'movement of best focus per degree',
  ),
  metric(
    'scale',
    'Plate scale',
    '″/px',
    4,
    'optics',
    null,
    'plate scale of unbinned pixels, from frames with a WCS',
  ),
  metric(
    'focal-length',
    'Focal length',
    'mm',
    1,
    'optics',
    null,
    'effective focal length, from frames with a WCS',
  ),
  metric(
    'fwhm-zenith',
    'FWHM at the zenith',
    '″',
    2,
    'all',
    'lower',
    'FWHM divided by airmass^0.6: sky and rig together',
  ),
  metric(
    'seeing-zenith',
    'Seeing at the zenith',
    '″',
    2,
    'sky',
    'lower',
    'seeing without the rig, divided by airmass^0.6',
  ),
  metric('keep-rate', 'Kept', '%', 0, 'all', 'higher', 'part of the subs that were kept'),
  metric(
    'sky-brightness',
    'Sky brightness',
    'e⁻/s/arcsec²',
    3,
    'sky',
    'lower',
    'from the noise of the background, so that no pedestal counts; gain must be known',
  ),
];

function metric(
  code: MetricCode,
  title: string,
  unit: string,
  decimals: number,
  subject: MetricSubject,
  better: Metric['better'],
  about: string,
): Metric {
  const least = code === 'elongation' ? 1 : better === 'zero' || better === null ? null : 0;
  return { code, title, unit, decimals, subject, better, least, about };
}

/** The metric of that code; throws RangeError for one that does not exist (a caller's bug). */
export function metricOf(code: MetricCode): Metric {
  const found = metrics.find((m) => m.code === code);
  if (!found) throw new RangeError(`no metric ${code}`);
  return found;
}

/** Metrics named by a user, in registry order; all of them for an empty list. Throws UsageError that lists the names. */
export function chooseMetrics(names: readonly string[]): readonly Metric[] {
  const unknown = names.filter((name) => !metrics.some((m) => m.code === name));
  if (unknown.length > 0) {
    throw new UsageError(
      `there is no figure called ${unknown.join(', ')}`,
      `Known figures: ${metrics.map((m) => m.code).join(', ')}.`,
    );
  }
  return names.length === 0 ? metrics : metrics.filter((m) => names.includes(m.code));
}
