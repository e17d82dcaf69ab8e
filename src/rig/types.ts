import type { NightAssessment } from '../causes/types.js';
import type { JudgedFrame } from '../night/types.js';
import type { IndividualsChart, MannKendall, TheilSen } from '../stats/index.js';

/** What the history needs of a frame; everything an assessment holds but its pictures and star list of the page. */
export type RecordableFrame = Omit<JudgedFrame, 'path' | 'pictures' | 'registrationStars' | 'elapsedMs'>;

/** What the history needs of a night: an assessment just made, or one read back from its JSON document. */
export interface RecordableNight extends Pick<NightAssessment, 'version' | 'optics'> {
  readonly frames: readonly RecordableFrame[];
  readonly night: { readonly causes: NightAssessment['night']['causes'] };
}

export type MetricCode =
  | 'tilt'
  | 'tilt-x'
  | 'tilt-y'
  | 'tilt-fwhm'
  | 'curvature'
  | 'astigmatism'
  | 'coma-centre'
  | 'tracking'
  | 'guiding-ra'
  | 'guiding-dec'
  | 'elongation'
  | 'focus-blur'
  | 'rig-blur'
  | 'focus-law'
  | 'scale'
  | 'focal-length'
  | 'fwhm-zenith'
  | 'seeing-zenith'
  | 'keep-rate'
  | 'sky-brightness';

/** Which part of the whole a figure speaks of: only `optics`, `tracking` and `focus` are the rig's own doing. */
export type MetricSubject = 'optics' | 'tracking' | 'focus' | 'sky' | 'all';

/** One figure of one night, from its frames. */
export interface NightFigure {
  readonly metric: MetricCode;
  /** Median over the frames, or the value of the night's joint fit. */
  readonly value: number;
  /** Spread over the frames, one standard deviation (MAD x 1.4826); null for a figure of the joint fit. */
  readonly spread: number | null;
  /** Standard error of `value`. */
  readonly error: number | null;
  /** Frames behind it. */
  readonly frames: number;
}

/** A point of a trend. */
export interface NightPoint extends Omit<NightFigure, 'metric'> {
  readonly nightId: string;
  /** Evening date of the night, YYYY-MM-DD. */
  readonly date: string;
}

export interface Rig {
  readonly id: string;
  readonly name: string;
  readonly trains: readonly Train[];
  readonly nights: number;
  readonly frames: number;
  readonly firstNight: string | null;
  readonly lastNight: string | null;
}

/** One imaging train as the headers give it. */
export interface Train {
  readonly key: string;
  readonly camera: string | null;
  readonly telescope: string | null;
  readonly focalLengthMm: number | null;
  /** Pitch of an unbinned pixel. */
  readonly pixelMicron: number | null;
  /** Camera angle, degrees modulo 180, from the rotator or the WCS. */
  readonly rotationDeg: number | null;
}

/** A change somebody made, as they logged it. */
export interface RigNote {
  readonly id: string;
  /** Number for the command line: 1 is the note logged first. It stays the same when others are logged or removed. */
  readonly number: number;
  readonly date: string;
  readonly text: string;
  /** Spacing added (+) or removed (-), mm, when the note says so. */
  readonly spacingMm: number | null;
  /** `automatic`: seen in the headers (camera turned), not logged. */
  readonly kind: 'logged' | 'automatic';
}

/** A lasting change of a figure, found without being told. */
export interface FoundChange {
  /** `bend`: nothing moved at once, a slow drift begins, ends or alters here (`before` and `after` are then the same). */
  readonly kind: 'step' | 'bend';
  /** First night on the new level, and the night before it. */
  readonly date: string;
  readonly previousDate: string;
  readonly before: number;
  readonly after: number;
  readonly size: number;
  readonly error: number;
  /** The note nearest before it, when one lies close enough to explain it; a slow drift is laid to none. */
  readonly note: RigNote | null;
}

/** A stretch of nights on one level or in one slow drift, with its control limits. */
export interface Stretch {
  readonly from: string;
  readonly to: string;
  readonly nights: number;
  /** Drift within it, unit per 30 days; 0: level. */
  readonly driftPerMonth: number;
  /** Level on its first and last night, as the drift has it. */
  readonly startLevel: number;
  readonly endLevel: number;
  /** Limits for its middle, the drift taken out. */
  readonly chart: IndividualsChart | null;
}

export interface MetricTrend {
  readonly metric: MetricCode;
  readonly title: string;
  readonly unit: string;
  readonly decimals: number;
  readonly subject: MetricSubject;
  readonly points: readonly NightPoint[];
  /** Theil-Sen line over everything shown, per 30 days; the intercept is the value on the first date. */
  readonly slopePerMonth: TheilSen | null;
  /** The same over the last stretch only; null when there is no change. */
  readonly slopeSinceChange: TheilSen | null;
  readonly mannKendall: MannKendall | null;
  readonly stretches: readonly Stretch[];
  /** Where one stretch gives way to the next. */
  readonly changes: readonly FoundChange[];
  /** Drift within the last stretch, unit per 30 days; 0 when none is needed. */
  readonly driftPerMonth: number;
  /** Nights outside the control limits of their own stretch. */
  readonly outliers: readonly string[];
}

export interface RigTrends {
  readonly schema: 'starassay/rig-trend@1';
  readonly version: string;
  readonly rig: { readonly id: string; readonly name: string };
  readonly since: string | null;
  readonly until: string | null;
  readonly filter: string | null;
  readonly notes: readonly RigNote[];
  readonly metrics: readonly MetricTrend[];
  /** Metric code -> why there is no trend. */
  readonly absent: Readonly<Record<string, string>>;
}

/** The usual range of a figure of this rig. */
export interface NormalFigure {
  readonly metric: MetricCode;
  readonly title: string;
  readonly unit: string;
  readonly decimals: number;
  readonly median: number;
  /** Control limits, three sigma from night to night. */
  readonly low: number;
  readonly high: number;
  readonly sigma: number;
  readonly nights: number;
  /** First and last night of the stretch that is taken as normal. */
  readonly from: string;
  readonly to: string;
}

/** What is normal for a rig; a figure without enough nights is absent. */
export interface RigNormals {
  readonly rigId: string;
  readonly rigName: string;
  readonly figures: Readonly<Partial<Record<MetricCode, NormalFigure>>>;
}

export interface MetricStatus {
  readonly metric: MetricCode;
  readonly title: string;
  readonly unit: string;
  readonly decimals: number;
  readonly subject: MetricSubject;
  readonly normal: NormalFigure;
  /** Level now: the median of the last stretch, at most its last ten nights. */
  readonly now: number;
  readonly state: 'normal' | 'left' | 'improved' | 'last-night' | 'drifting';
  /** Night on which it left; null when normal. */
  readonly since: string | null;
  readonly note: RigNote | null;
  readonly driftPerMonth: number;
  /** The finding in one sentence. */
  readonly sentence: string;
}

export interface RigStatus {
  readonly schema: 'starassay/rig-status@1';
  readonly version: string;
  readonly rig: { readonly id: string; readonly name: string };
  readonly nights: number;
  readonly firstNight: string | null;
  readonly lastNight: string | null;
  readonly metrics: readonly MetricStatus[];
  /** Metric code -> why it has no normal range yet. */
  readonly absent: Readonly<Record<string, string>>;
}

export interface MetricComparison {
  readonly metric: MetricCode;
  readonly title: string;
  readonly unit: string;
  readonly decimals: number;
  readonly subject: MetricSubject;
  /** `since`: only nights from this date on count, as the figure changed then too; null: all of the range. */
  readonly before: { readonly nights: number; readonly median: number; readonly since: string | null };
  /** `until`: only nights before this date count, as the figure changed again then. */
  readonly after: { readonly nights: number; readonly median: number; readonly until: string | null };
  readonly p: number;
  readonly shift: number;
  readonly low: number | null;
  readonly high: number | null;
  /** Where the figure really moved, when that was not between the two ranges: the date of a step, or the first and last night of a slow drift. */
  readonly elsewhere: {
    readonly date: string | null;
    readonly drift: { readonly from: string; readonly to: string } | null;
  } | null;
  /** Days on which it changed within the nights that count. */
  readonly within: readonly string[];
  /** Unit per 30 days by which it drifted before and after; the medians and the shift are then its levels at the change. */
  readonly drifted: { readonly before: number; readonly after: number };
  /** `unchanged`: any shift is smaller than the scatter from night to night, or too small to print. */
  readonly verdict: 'better' | 'worse' | 'changed' | 'unchanged' | 'cannot-tell';
  /** When it cannot tell: further nights after the change until a difference of the size seen would show (80 % power); null = no number would. */
  readonly moreNights: number | null;
  readonly sentence: string;
}

export interface RigComparison {
  readonly schema: 'starassay/rig-compare@1';
  readonly version: string;
  readonly rig: { readonly id: string; readonly name: string };
  readonly note: RigNote | null;
  readonly before: { readonly from: string | null; readonly to: string | null; readonly nights: number };
  readonly after: { readonly from: string | null; readonly to: string | null; readonly nights: number };
  readonly metrics: readonly MetricComparison[];
  readonly absent: Readonly<Record<string, string>>;
}

/** Curvature per millimetre of spacing, measured on this rig. */
export interface SpacingSensitivity {
  readonly micronPerMm: number;
  readonly error: number | null;
  /** ISO 8601 UTC. */
  readonly measuredAt: string;
  /** Where it came from: `ladder`, or `notes` when learnt from logged spacer changes. */
  readonly source: 'ladder' | 'notes';
}

/** What a rig's history knows that helps to judge a night. */
export interface RigHistory {
  readonly normals: RigNormals;
  readonly sensitivity: SpacingSensitivity | null;
}
