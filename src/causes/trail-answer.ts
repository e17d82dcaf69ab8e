import { median } from 'simple-statistics';
import { scatterDeg } from './axis-scatter.js';
import type { Evidence } from './types.js';
import type { TrailedFrame, TrailPicture } from './trails.js';

/** Confidence of the night from those of its frames: one sure frame is enough, several doubtful ones add up slowly. */
export function nightConfidence(frames: readonly { readonly confidence: number }[]): number {
  return frames.reduce((most, f) => Math.max(most, f.confidence), 0);
}

/** Frames that carry the trail; where none does by itself, the strongest. */
export function carriers(picture: TrailPicture): readonly TrailedFrame[] {
  const sure = picture.trailed.filter((t) => t.confidence >= 0.5);
  if (sure.length > 0 || picture.trailed.length === 0) return sure;
  return [picture.trailed.reduce((a, b) => (b.confidence > a.confidence ? b : a))];
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
export function trailEvidence(picture: TrailPicture): Evidence[] {
  const trailed = carriers(picture);
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
  if (trailed.length > 1) {
    evidence.push(
      {
        what: 'scatter of the axis from frame to frame',
        value: scatterDeg(picture.agreement),
        unit: 'deg',
      },
      {
        what: 'change of the trail length from frame to frame, of its mean',
        value: 100 * picture.unevenness,
        unit: '%',
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
