import { RIG_CAUTIONS } from '../optics/index.js';
import { logistic } from './confidence.js';
import { longestTrail, nightConfidence, toldTrails, trailEvidence } from './trail-answer.js';
import { apartDeg } from './trail-mixture.js';
import { trailParts } from './trail-parts.js';
import type { TrailedFrame, TrailPicture } from './trails.js';
import type { Cause } from './types.js';

export const guidingTrail: Cause = {
  meta: {
    code: 'guiding-trail',
    title: 'The mount let the stars drift',
    whyItMatters:
      'Stars drawn out along one axis lose contrast and detail in every part of the frame, and no processing brings it back.',
    looksLike:
      'Wind shakes in changing directions and gusts, and widens the stars across the trail too. Astigmatism and tilt draw stars out differently in each corner. Field rotation leaves one point sharp. Coma is one-sided.',
    whatToDo:
      'Along right ascension: periodic error or balance, shorten the guide exposure, train the error correction. Along declination: polar alignment and backlash. A steady drift from frame to frame with round guide stars: guide scope and main tube flex against each other.',
    references: [
      'A uniform drift of length L has variance L^2/12',
      'A guide camera corrects about once a second; a long smooth trail means guiding was lost or the guide scope flexes (common practice, no source)',
      'Camera squared on: the sensor axes lie along right ascension and declination (common practice, no source)',
    ],
  },
  needs: (night) =>
    night.facts.some((f) => f.trail !== null) ? null : 'no frame has enough stars to show a common trail',
  judge: (night) => {
    const parts = trailParts(night).map(({ picture, windLogOdds }) => {
      const share = logistic(-windLogOdds);
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
          ? 'there are trails, but they speak for wind'
          : longestWords(picture.trailed),
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
      evidence: [
        ...trailEvidence(told),
        ...(creeps(told.picture)
          ? [
              {
                what: 'steady drift of the field between frames',
                value: told.picture.driftPxPerHour?.value ?? NaN,
                unit: 'px/h',
              },
            ]
          : []),
      ],
      advice: [...adviceOf(told.picture), ...besideWind(parts), RIG_CAUTIONS].join(' '),
    };
  },
};

/** Stars narrower than this show their pixels' own shape, pixels. */
const UNDERSAMPLED_PX = 2;

function longestWords(trailed: readonly TrailedFrame[]): string {
  const most = trailed.reduce<TrailedFrame | null>(
    (a, b) => (b.elongation > (a?.elongation ?? 1) ? b : a),
    null,
  );
  const words = `the largest elongation by a common trail is ${(most?.elongation ?? 1).toFixed(2)}`;
  const fwhmPx = most?.fact.frame.fwhm.px ?? Infinity;
  return most !== null && fwhmPx < UNDERSAMPLED_PX && most.elongation > 1.05
    ? `${words}; stars of ${fwhmPx.toFixed(1)} px show so much along rows or columns by the shape of the pixels alone`
    : words;
}

function adviceOf(picture: TrailPicture): string[] {
  const sure = picture.axisSource === 'wcs' ? '' : ' (if the camera is squared on to the mount)';
  const advice: string[] = [];
  if (picture.axis === 'ra') {
    advice.push(
      `The trail runs along right ascension${sure}: look at periodic error, east-west balance and the guide exposure; shorten it, or train the mount's error correction.`,
    );
  } else if (picture.axis === 'dec') {
    advice.push(
      `The trail runs along declination${sure}: look at polar alignment, backlash and whether the guider may correct in both directions.`,
    );
  } else {
    advice.push(
      'The trail runs along neither axis of the mount (or the camera is turned): check that guiding ran during these frames, and that no cable pulls.',
    );
  }
  if (picture.periodMinutes !== null) {
    advice.push(
      `The trails come and go every ${picture.periodMinutes.toFixed(1)} min: a periodic error of the drive (a turn of the worm, or half of it; a faster one can look like this in frames so far apart).`,
    );
  } else if (picture.sameness > 0.6) {
    advice.push('The trails repeat each other in axis and length: a steady drift rather than jitter.');
  }
  const drift = picture.driftPxPerHour;
  if (drift !== null && creeps(picture) && apartDeg(drift.angleDeg, picture.angleDeg) < 20) {
    advice.push(
      'The field also creeps along that axis from frame to frame: guide scope and main tube probably flex against each other; tighten the rings and the focusers, or guide off-axis.',
    );
  }
  return advice;
}

/** Drift of the field from frame to frame that is worth a word, pixels an hour. */
const CREEPS_PX = 10;

function creeps({ driftPxPerHour: drift }: TrailPicture): boolean {
  return drift !== null && drift.significance > 5 && drift.value > CREEPS_PX;
}

/** Where other frames of the night are shaken from all sides, both causes are named. */
function besideWind(parts: readonly { readonly confidence: number }[]): string[] {
  return parts.length > 1 && parts.some((part) => part.confidence < 0.5)
    ? [
        'Other trailed frames of this night scatter in their axes: those look like wind or knocks, not like the mount.',
      ]
    : [];
}
