import { logistic } from './confidence.js';
import { FEWEST_OF_NIGHT, lightLoss, type LightLoss } from './light-loss.js';
import { nightConfidence } from './trail-answer.js';
import type { JudgedFrame } from '../night/types.js';
import type { NightSeries } from './night-series.js';
import type { Cause, Evidence } from './types.js';

/** Frames of a group that make a usual number of stars. */
const FEWEST_FRAMES = 3;

export const cloud: Cause = {
  meta: {
    code: 'cloud',
    title: 'Cloud took light away',
    whyItMatters: 'A thin frame adds more noise than signal, and uneven cloud leaves gradients in the stack.',
    looksLike:
      'Low altitude dims stars too, by the airmass and no more. Dew dims steadily, gives every star a halo, and does not go away by itself. A bright sky hides faint stars but leaves their light as it was.',
    whatToDo: 'Leave the thin frames out; nothing on the rig needs a change.',
    references: [
      'Extinction of 0.1 to 0.3 mag per airmass in broad bands (common practice)',
      'Airmass: Kasten & Young 1989',
    ],
  },
  needs: (night) =>
    lightLoss(night) !== null || someStarved(night)
      ? null
      : 'fewer than three frames could be matched, so that no light loss can be measured',
  judge: (night) => {
    const loss = lightLoss(night);
    const share = loss === null ? 1 : logistic(-loss.dewLogOdds);
    const unmatched = night.facts.filter((f) => f.frame.transparency === null && isStarved(f.frame, night));
    const frames = [
      ...(loss?.lost ?? []).map((f) => ({ file: f.file, confidence: f.confidence * (f.passed ? 1 : share) })),
      // So few stars that the frame could not be matched: cloud is likely, focus or daylight possible.
      ...unmatched.map((f) => ({ file: f.file, confidence: 0.6 })),
    ].filter((f) => f.confidence > 0.2);
    const confidence = nightConfidence(frames);
    if (confidence < 0.2) {
      const least = Math.min(...(loss?.losses ?? []).map((l) => l.corrected));
      return {
        answer: 'clear',
        why: `the lowest transparency, airmass taken out, is ${Math.min(1, least).toFixed(2)}`,
      };
    }
    return {
      answer: 'found',
      confidence,
      effect: loss === null ? 1 : largestLoss(loss.lost, frames),
      frames,
      evidence:
        loss === null
          ? [{ what: 'frames with too few stars to be matched', value: unmatched.length, unit: 'frames' }]
          : lossEvidence(loss),
      advice:
        'Leave these frames out of the stack, or give them the weight their transparency earns; nothing on the rig needs a change. Wait for the sky, and do not judge focus or guiding by these frames.',
    };
  },
};

/** Largest part of the light lost in the frames named. */
export function largestLoss(lost: LightLoss['lost'], frames: readonly { readonly file: string }[]): number {
  const named = new Set(frames.map((f) => f.file));
  return 1 - Math.min(1, ...lost.filter((f) => named.has(f.file)).map((f) => f.transparency));
}

/** What the loss of light looks like, for cloud and dew alike. */
export function lossEvidence(loss: LightLoss): Evidence[] {
  const bad = loss.lost.filter((f) => f.confidence > 0.5);
  const lowest = loss.losses.reduce((a, b) => (b.corrected < a.corrected ? b : a));
  const evidence: Evidence[] = [
    { what: 'lowest transparency', value: lowest.transparency, unit: '', limit: 0.9 },
    {
      what: 'frames that lost more than a tenth of the light beyond what their airmass takes',
      value: bad.length,
      unit: 'frames',
    },
  ];
  if (loss.framesOfNight >= FEWEST_OF_NIGHT)
    evidence.push(
      {
        what: 'of the largest loss, light that came back later the same night',
        value: 100 * Math.min(1, Math.max(0, loss.recovered)),
        unit: '%',
      },
      {
        what: 'later frames are thinner than earlier ones (about 50 %: it comes and goes; 100 %: it falls all the time)',
        value: 50 * (1 - loss.trend),
        unit: '% of pairs',
      },
    );
  if (loss.halo > 1.5)
    evidence.push({
      what: 'stars spread a halo in the thinnest frame: half-flux diameter over FWHM grows by',
      value: loss.haloPercent,
      unit: '%',
    });
  if (lowest.airmass !== null)
    evidence.push({ what: 'airmass of the thinnest frame', value: lowest.airmass, unit: '' });
  return evidence;
}

/** Far fewer stars than the other frames of its group usually have. */
function isStarved(frame: JudgedFrame, night: NightSeries): boolean {
  const counts = night.facts
    .filter((f) => f.frame.group === frame.group)
    .map((f) => f.frame.stars.detected)
    .sort((a, b) => a - b);
  const usual = counts[Math.floor(counts.length * 0.75)] ?? 0;
  return counts.length >= FEWEST_FRAMES && usual >= 20 && frame.stars.detected < 0.25 * usual;
}

function someStarved(night: NightSeries): boolean {
  return night.facts.some((f) => f.frame.transparency === null && isStarved(f.frame, night));
}
