import { RIG_CAUTIONS } from '../optics/index.js';
import { logistic } from './confidence.js';
import { nightConfidence, trailEvidence } from './trail-answer.js';
import { trailPicture, windLogOdds } from './trails.js';
import type { Cause } from './types.js';

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
    const picture = trailPicture(night);
    const share = logistic(windLogOdds(picture));
    const frames = picture.trailed
      .map((t) => ({ file: t.fact.file, confidence: t.confidence * share }))
      .filter((f) => f.confidence > 0.2);
    const confidence = nightConfidence(frames);
    if (confidence < 0.2) {
      return {
        answer: 'clear',
        why: picture.trailed.some((t) => t.confidence > 0.5)
          ? 'there are trails, but they keep their axis and strength: the mount rather than the wind'
          : 'no frame is shaken',
      };
    }
    const trailed = picture.trailed.filter((t) => t.confidence > 0.2);
    return {
      answer: 'found',
      confidence,
      frames,
      evidence: [
        ...trailEvidence(picture, trailed.length > 0 ? trailed : picture.trailed),
        {
          what: 'growth of width across the trail with its length',
          value: picture.across,
          unit: 'standard errors',
        },
      ],
      advice: `Shield the telescope from the wind, take down what acts as a sail, and check that tripod and pier stand firm; shorter exposures save the calm moments. ${RIG_CAUTIONS}`,
    };
  },
};
