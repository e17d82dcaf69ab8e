import { median } from 'simple-statistics';
import { RIG_CAUTIONS } from '../optics/index.js';
import { logistic } from './confidence.js';
import { longestTrail, nightConfidence, toldTrails, trailEvidence, type ToldTrails } from './trail-answer.js';
import { trailParts } from './trail-parts.js';
import type { TrailedFrame } from './trails.js';
import type { Cause, Evidence } from './types.js';

export const windShake: Cause = {
  meta: {
    code: 'wind-shake',
    title: 'Wind or vibration shook the telescope',
    whyItMatters: 'Gusts blur some frames and spare others; the blurred ones are longer and fatter at once.',
    looksLike:
      'A guiding fault keeps its axis and its strength, and leaves the stars slim across the trail. Bad seeing widens the stars without an axis.',
    whatToDo:
      'Shield the telescope from the wind, lower the tripod, take down dew shields that act as sails, balance, and keep shorter exposures.',
    references: ['Gusts change from frame to frame in strength and direction (common practice, no source)'],
  },
  needs: (night) =>
    night.facts.some((f) => f.trail !== null) ? null : 'no frame has enough stars to show a common trail',
  judge: (night) => {
    const parts = trailParts(night).map(({ picture, windLogOdds }) => {
      const share = logistic(windLogOdds);
      const frames = picture.trailed.map((t) => ({ file: t.fact.file, confidence: t.confidence * share }));
      return { picture, frames, confidence: nightConfidence(frames) };
    });
    const { picture } = parts.reduce((a, b) => (b.confidence > a.confidence ? b : a));
    const frames = parts.flatMap((part) => part.frames).filter((f) => f.confidence > 0.2);
    const confidence = nightConfidence(frames);
    if (confidence < 0.2) {
      return {
        answer: 'clear',
        why: picture.trailed.some((t) => t.confidence > 0.5)
          ? 'there are trails, but they keep their axis and strength: the mount rather than the wind'
          : 'no frame is shaken',
      };
    }
    const told = toldTrails(parts);
    return {
      answer: 'found',
      confidence,
      effect: longestTrail(
        parts.map((part) => part.picture),
        frames,
      ),
      frames,
      evidence: [...trailEvidence(told), ...widthAcross(told)],
      advice: `Shield the telescope from the wind, take down what acts as a sail, and check that tripod and pier stand firm; shorter exposures save the calm moments.${
        parts.some((part) => part.confidence < 0.5)
          ? ' Other trailed frames of this night keep to one axis: those look like the mount, not like wind.'
          : ''
      } ${RIG_CAUTIONS}`,
    };
  },
};

/** How much wider the stars are across the trail than in the calm frames: gusts shake both axes. Empty where it was not measured. */
function widthAcross({ picture, trailed }: ToldTrails): Evidence[] {
  const width = (list: readonly TrailedFrame[]): number[] =>
    list.flatMap((t) => t.fact.fitted?.seeingPx ?? []);
  const calm = width(picture.trailed.filter((t) => t.confidence < 0.2));
  const shaken = width(trailed);
  return calm.length < 3 || shaken.length === 0
    ? []
    : [
        {
          what: 'stars are wider across the trail than in the calm frames by',
          value: 100 * (median(shaken) / median(calm) - 1),
          unit: '%',
        },
      ];
}
