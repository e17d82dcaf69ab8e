import { median } from 'simple-statistics';
import { scatterDeg } from './axis-scatter.js';
import { carryingFrames } from './confidence.js';
import { commonAxis, type TrailedFrame, type TrailPicture } from './trails.js';
import type { Evidence } from './types.js';

/** Confidence of the night from those of its frames: one sure frame is enough, several doubtful ones add up slowly. */
export function nightConfidence(frames: readonly { readonly confidence: number }[]): number {
  return frames.reduce((most, f) => Math.max(most, f.confidence), 0);
}

/** Trails of one origin as a cause sees them: the part of them that is its own. */
export interface OwnedPart {
  readonly picture: TrailPicture;
  readonly frames: readonly { readonly file: string; readonly confidence: number }[];
  readonly confidence: number;
}

/** What a cause tells of its trails: those frames that it names, with the axis that they share, and no others. */
export interface ToldTrails {
  readonly picture: TrailPicture;
  readonly trailed: readonly TrailedFrame[];
}

/** The trails that a finding tells of, out of the parts of a night; the surest part speaks for how they change through the night. */
export function toldTrails(parts: readonly OwnedPart[]): ToldTrails {
  const { picture, confidence } = parts.reduce((a, b) => (b.confidence > a.confidence ? b : a));
  const named = new Set(
    carryingFrames(
      parts.flatMap((part) => part.frames),
      confidence,
    ).map((f) => f.file),
  );
  const trailed = parts.flatMap((part) => part.picture.trailed).filter((t) => named.has(t.fact.file));
  return { picture: { ...picture, ...commonAxis(trailed) }, trailed };
}

/** Elongation above 1 of the most trailed of the frames named. */
export function longestTrail(
  pictures: readonly TrailPicture[],
  frames: readonly { readonly file: string }[],
): number {
  const named = new Set(frames.map((f) => f.file));
  return pictures
    .flatMap((picture) => picture.trailed)
    .reduce((most, t) => (named.has(t.fact.file) ? Math.max(most, t.elongation - 1) : most), 0);
}

/** What the trailed frames show, for guiding and wind alike. */
export function trailEvidence({ picture, trailed }: ToldTrails): Evidence[] {
  const stars = trailed.reduce((sum, t) => sum + t.fact.frame.stars.measured, 0);
  const evidence: Evidence[] = [
    {
      what: 'frames with stars drawn out along one axis all over the field',
      value: trailed.length,
      unit: 'frames',
      stars,
    },
    {
      // The frames' own figure, as the table of frames has it; the judgement takes the optics' part out.
      what: 'elongation of the stars there, median',
      value: median(trailed.map((t) => t.fact.frame.elongation ?? t.elongation)),
      unit: '',
    },
    { what: 'RMS along the trail, median', value: median(trailed.map((t) => t.rms)), unit: picture.unit },
    {
      what: 'length of the trail if it was an even drift (root 12 times the RMS)',
      value: Math.sqrt(12) * median(trailed.map((t) => t.rms)),
      unit: picture.unit,
    },
    { what: 'axis of the trail in the pixel frame', value: picture.angleDeg, unit: 'deg' },
  ];
  if (picture.skyAngleDeg !== null)
    evidence.push({
      what: 'axis of the trail on the sky (north through east)',
      value: picture.skyAngleDeg,
      unit: 'deg',
    });
  if (trailed.length > 1) {
    evidence.push({
      what: 'scatter of the axis from frame to frame',
      value: scatterDeg(picture.agreement),
      unit: 'deg',
    });
    if (picture.unevenness !== null)
      evidence.push({
        what: 'change of the trail length from frame to frame, of its mean',
        value: 100 * picture.unevenness,
        unit: '%',
      });
  }
  if (picture.periodMinutes !== null)
    evidence.push({
      what: 'the trail length comes and goes every',
      value: picture.periodMinutes,
      unit: 'min',
    });
  return evidence;
}
