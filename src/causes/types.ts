import type { UnreadableFrame } from '../field/types.js';
import type { FrameKind } from '../fits/types.js';
import type { NightSeries } from './night-series.js';
import type { DecisionLimits, GroupSummary, JudgedFrame, OpticalState, WhatIfPoint } from '../night/types.js';

export type CauseCode =
  | 'focus-drift'
  | 'focus-offset'
  | 'sensor-tilt'
  | 'spacing-short'
  | 'spacing-long'
  | 'guiding-trail'
  | 'wind-shake'
  | 'field-rotation'
  | 'decentred-optics'
  | 'cloud'
  | 'bright-sky'
  | 'dew'
  | 'streak'
  | 'seeing';

/** One piece of evidence: a measured value with what is needed to judge it. */
export interface Evidence {
  readonly what: string;
  readonly value: number;
  readonly unit: string;
  readonly error?: number;
  readonly limit?: number;
  /** Part of the sensor concerned, in words. */
  readonly region?: string;
  readonly stars?: number;
}

/** What a cause sees: the finished figures of a night, never pixels. Everything derived is computed once, before the causes run. */
export interface NightFigures {
  readonly frames: readonly JudgedFrame[];
  readonly groups: readonly GroupSummary[];
  readonly optics: readonly OpticalState[];
  readonly limits: DecisionLimits;
}

/** The answer of a cause. */
export type CauseAnswer =
  | { readonly answer: 'clear'; readonly why: string }
  | { readonly answer: 'cannot-tell'; readonly why: string }
  | {
      readonly answer: 'found';
      /** Calibrated, 0..1. */
      readonly confidence: number;
      /** What it does to the frame hit worst: growth of FWHM, elongation above 1, light lost or growth of the noise, as a part of one. */
      readonly effect: number;
      /** Files concerned, with the confidence for each. */
      readonly frames: readonly { readonly file: string; readonly confidence: number }[];
      readonly evidence: readonly Evidence[];
      /** What to do at the telescope, cautions included. */
      readonly advice: string;
    };

/** What the cause is: the texts that `explain` and the report print. */
export interface CauseMeta {
  readonly code: CauseCode;
  readonly title: string;
  readonly whyItMatters: string;
  readonly looksLike: string;
  readonly whatToDo: string;
  readonly references: readonly string[];
}

export interface Cause {
  readonly meta: CauseMeta;
  /** What must be there for this cause to be judged: returns the reason when it is not, else null. */
  readonly needs: (night: NightSeries) => string | null;
  readonly judge: (night: NightSeries) => CauseAnswer;
}

/** A cause as it stands in the NightAssessment. */
export interface CauseFinding {
  readonly code: CauseCode;
  readonly title: string;
  readonly answer: 'found' | 'clear' | 'cannot-tell';
  /** 0 unless found. */
  readonly confidence: number;
  readonly frames: readonly string[];
  /** The same frames with the confidence for each; empty unless found. */
  readonly frameConfidence: readonly { readonly file: string; readonly confidence: number }[];
  readonly evidence: readonly Evidence[];
  readonly advice: string;
  /** Why the cause is clear or cannot be told; empty when found. */
  readonly why: string;
}

/** A figure of the whole night outside what is normal for the rig. */
export interface HistoryFinding {
  /** Code of the figure in the rig's history. */
  readonly metric: string;
  readonly value: number;
  readonly error: number | null;
  readonly unit: string;
  readonly normalLow: number;
  readonly normalHigh: number;
  /** Nights that the normal range rests on. */
  readonly nights: number;
  /** The finding in words, with where to look. */
  readonly sentence: string;
}

/** A correction of the spacing by what the rig's history knows of its sensitivity. */
export interface HistorySpacing {
  /** To add between corrector and sensor, mm; negative: to remove. */
  readonly addMm: number;
  readonly errorMm: number;
  readonly sentence: string;
}

/** What the rig's history says of the night. */
export interface HistoryVerdict {
  readonly rig: string;
  /** Nights of the history that the night was held against. */
  readonly nights: number;
  readonly unusual: readonly HistoryFinding[];
  readonly spacing: HistorySpacing | null;
}

/** The whole night: what `cull` prints, writes and records. */
export interface NightAssessment {
  readonly schema: 'starassay/night@1';
  readonly version: string;
  readonly frames: readonly JudgedFrame[];
  readonly unreadable: readonly UnreadableFrame[];
  readonly setAside: readonly { readonly file: string; readonly kind: FrameKind }[];
  readonly groups: readonly GroupSummary[];
  readonly optics: readonly OpticalState[];
  readonly night: {
    readonly summary: {
      readonly frames: number;
      readonly kept: number;
      readonly rejected: number;
      readonly unreadable: number;
      readonly exposureSecondsKept: number;
      readonly medianFwhmArcsec: number | null;
      readonly medianFwhmPx: number | null;
      readonly text: readonly string[];
    };
    readonly causes: readonly CauseFinding[];
    readonly whatIf: readonly WhatIfPoint[];
    /** Absent when the rig has no history yet, or it was not asked. */
    readonly history?: HistoryVerdict;
  };
  readonly warnings: readonly string[];
  readonly limits: DecisionLimits;
}
