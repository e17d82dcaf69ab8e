import { RIG_CAUTIONS } from '../optics/index.js';
import { logistic } from './confidence.js';
import { largestLoss, lossEvidence } from './cloud.js';
import { lightLoss } from './light-loss.js';
import { nightConfidence } from './trail-answer.js';
import type { Cause } from './types.js';

const FEWEST_FRAMES = 5;

export const dew: Cause = {
  meta: {
    code: 'dew',
    title: 'Dew or frost settles on the glass',
    whyItMatters:
      'It takes light frame by frame and spreads what is left into halos; left alone it ends the night.',
    looksLike:
      'Cloud comes and goes and leaves the shape of the stars alone. A setting target dims by its airmass and no more.',
    whatToDo:
      'Warm the front of the optics gently (heater band, dew shield); never wipe. Look at the corrector or objective with a torch.',
    references: [
      'A film that scatters light adds a wide halo: the half-flux diameter grows more than the FWHM (common practice, no source)',
    ],
  },
  needs: (night) => {
    const loss = lightLoss(night);
    return loss !== null && loss.losses.length >= FEWEST_FRAMES
      ? null
      : `fewer than ${FEWEST_FRAMES} frames with a measured transparency: too short to tell a steady loss`;
  },
  judge: (night) => {
    const loss = lightLoss(night);
    if (loss === null) return { answer: 'cannot-tell', why: 'no transparency was measured' };
    const share = logistic(loss.dewLogOdds);
    const frames = loss.lost
      .map((f) => ({ file: f.file, confidence: f.passed ? 0 : f.confidence * share }))
      .filter((f) => f.confidence > 0.2);
    const confidence = nightConfidence(frames);
    if (confidence < 0.2) {
      return {
        answer: 'clear',
        why: loss.lost.some((f) => f.confidence > 0.5)
          ? 'light was lost, but it came back or left the stars without halos'
          : 'no steady loss of light',
      };
    }
    return {
      answer: 'found',
      confidence,
      effect: largestLoss(loss.lost, frames),
      frames,
      evidence: lossEvidence(loss),
      advice: `Look at the front glass with a torch; warm it gently with a heater band and use a dew shield, and never wipe wet optics. Next time switch the heater on before the first frame. ${RIG_CAUTIONS}`,
    };
  },
};
