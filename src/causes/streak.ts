import { nightConfidence } from './trail-answer.js';
import type { Cause } from './types.js';

export const streak: Cause = {
  meta: {
    code: 'streak',
    title: 'A satellite or an aircraft crossed the field',
    whyItMatters:
      'A bright line spoils the pixels it crosses; rejection while stacking removes it when there are enough frames.',
    looksLike:
      'A bleeding star follows the columns of the sensor and starts at the star. Trailed stars are all drawn out, not one line.',
    whatToDo:
      'Keep the frame and let the stacking reject the line; a streak alone is no reason to throw light away.',
    references: ['A streak alone is no reason to reject (design of this program)'],
  },
  needs: (night) => (night.facts.length > 0 ? null : 'no frame was measured'),
  judge: (night) => {
    const hit = night.facts.filter((f) => f.frame.streaks.length > 0);
    if (hit.length === 0) return { answer: 'clear', why: 'no straight line of light crosses any frame' };
    const frames = hit.map((f) => {
      const longest = Math.max(...f.frame.streaks.map((s) => s.lengthPx));
      const diagonal = Math.hypot(f.frame.image.widthPx, f.frame.image.heightPx);
      // Detection has already asked for significance; short ones may still be a chain of stars or an edge.
      return { file: f.file, confidence: Math.min(0.97, 0.6 + 1.2 * (longest / diagonal)) };
    });
    const longest = hit
      .flatMap((f) =>
        f.frame.streaks.map((s) => ({
          ...s,
          diagonal: Math.hypot(f.frame.image.widthPx, f.frame.image.heightPx),
        })),
      )
      .reduce((a, b) => (b.lengthPx > a.lengthPx ? b : a));
    return {
      answer: 'found',
      confidence: nightConfidence(frames),
      // One line among thousands of stars.
      effect: 0.01,
      frames,
      evidence: [
        { what: 'frames crossed', value: hit.length, unit: 'frames' },
        { what: 'length of the longest', value: longest.lengthPx, unit: 'px' },
        {
          what: 'part of the diagonal it covers',
          value: (100 * longest.lengthPx) / longest.diagonal,
          unit: '%',
        },
        { what: 'its angle in the pixel frame', value: longest.angleDeg, unit: 'deg' },
        { what: 'its width', value: longest.widthPx, unit: 'px' },
      ],
      advice:
        'Keep these frames if nothing else is wrong: rejection while stacking takes the line out when there are five frames or more.',
    };
  },
};
