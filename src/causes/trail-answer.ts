import { median } from 'simple-statistics';
import type { Evidence } from './types.js';
import type { TrailedFrame, TrailPicture } from './trails.js';

/** Confidence of the night from those of its frames: one sure frame is enough, several doubtful ones add up slowly. */
export function nightConfidence(frames: readonly { readonly confidence: number }[]): number {
  return frames.reduce((most, f) => Math.max(most, f.confidence), 0);
}

/** What the trailed frames show, for guiding and wind alike. */
export function trailEvidence(picture: TrailPicture, trailed: readonly TrailedFrame[]): Evidence[] {
  const stars = trailed.reduce((sum, t) => sum + t.fact.frame.stars.measured, 0);
  const evidence: Evidence[] = [
    {
      what: 'frames with stars drawn out along one axis all over the field',
      value: trailed.length,
      unit: 'frames',
      stars,
    },
    {
      what: 'elongation by the trail, median of those frames',
      value: median(trailed.map((t) => t.elongation)),
      unit: '',
      limit: 1.11,
    },
    { what: 'RMS along the trail, median', value: median(trailed.map((t) => t.rms)), unit: picture.unit },
    {
      what: 'length of the trail if it was an even drift (root 12 times the RMS)',
      value: Math.sqrt(12) * median(trailed.map((t) => t.rms)),
      unit: picture.unit,
    },
    { what: 'axis of the trail in the pixel frame', value: picture.angleDeg, unit: 'deg' },
  ];
  if (trailed.length > 1) {
    evidence.push(
      {
        what: 'agreement of the axes (1: all the same, 0: all different)',
        value: picture.agreement,
        unit: '',
      },
      {
        what: 'change of the trail length from frame to frame, over its mean',
        value: picture.unevenness,
        unit: '',
      },
    );
  }
  if (picture.periodMinutes !== null)
    evidence.push({
      what: 'the trail length comes and goes every',
      value: picture.periodMinutes,
      unit: 'min',
    });
  return evidence;
}
