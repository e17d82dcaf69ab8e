import type { CauseFinding } from '../../src/causes/types.js';
import type { JudgedFrame } from '../../src/night/types.js';

/** Causes of a made-up night, one of each answer; `text` takes the place of every text that may come from a file. */
export function causesOf(frames: readonly JudgedFrame[], text: string | undefined): CauseFinding[] {
  const soft = frames
    .filter((frame) => frame.reasons.some((reason) => reason.code === 'fwhm'))
    .map((frame) => frame.file);
  return [
    {
      code: 'focus-drift',
      title: 'Focus drifted through the night',
      answer: 'found',
      confidence: 0.91,
      frames: soft,
      frameConfidence: [],
      evidence: [
        {
          what: text ?? 'Drift of best focus',
          value: 41,
          error: 6,
          unit: text ?? 'micron',
          limit: 33.5,
          stars: 640,
        },
        { what: 'Follows the temperature', value: -8.2, error: 1.1, unit: 'micron/K' },
      ],
      advice:
        text ??
        'Refocus every degree of cooling, or at least once an hour. Let the tube cool before the first sub.',
      why: '',
    },
    {
      code: 'sensor-tilt',
      title: 'The sensor is tilted',
      answer: 'found',
      confidence: 0.78,
      frames: frames.map((frame) => frame.file),
      frameConfidence: [],
      evidence: [
        {
          what: 'Tilt, corner to corner',
          value: 38,
          error: 4,
          unit: 'micron',
          limit: 17,
          region: text ?? 'bottom left',
          stars: 6400,
        },
      ],
      advice:
        text ??
        'Park the mount and switch off before loosening anything; support the camera. Check the threaded joints first, then shim the bottom left by about 0.04 mm.',
      why: '',
    },
    {
      code: 'cloud',
      title: 'Cloud or haze',
      answer: 'clear',
      confidence: 0,
      frames: [],
      frameConfidence: [],
      evidence: [],
      advice: '',
      why: text ?? 'Transparency stayed above 0.9.',
    },
    {
      code: 'dew',
      title: 'Dew on the optics',
      answer: 'cannot-tell',
      confidence: 0,
      frames: [],
      frameConfidence: [],
      evidence: [],
      advice: '',
      why: text ?? 'Fewer than ten subs.',
    },
  ];
}
