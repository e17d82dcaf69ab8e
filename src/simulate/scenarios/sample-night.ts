import type { ScenarioInput } from '../scenario.js';

/** The night in `sample-frames/`: a good start, one guiding trail, one satellite, a cloud, and focus lost in a cold spell. */
export const sampleNight: ScenarioInput = {
  name: 'sample-night',
  description:
    'Sixteen subs of an invented field: clean ones, one trailed by lost guiding, one crossed by a satellite, a passing cloud, and a focus that drifts away as the air cools.',
  seed: 20,
  frames: 16,
  camera: { widthPx: 600, heightPx: 400, angleDeg: 8 },
  optics: { tilt: { spanMicron: 14, directionDeg: 40 } },
  seeing: { arcsec: 2.7, spread: 0.035 },
  stars: { count: 340, slope: 1.7, faintest: 14, brightest: 7000 },
  temperature: {
    startC: 11,
    dropPerHourC: 3.4,
    drops: [
      { beforeFrame: 14, byC: 0.9 },
      { beforeFrame: 15, byC: 0.9 },
      { beforeFrame: 16, byC: 0.9 },
    ],
  },
  night: {
    start: '2026-09-12T20:05:00Z',
    pauses: [{ beforeFrame: 13, minutes: 68 }],
  },
  focus: { micronPerKelvin: -13 },
  faults: [
    { kind: 'guiding', frames: [5], axis: 'ra', driftArcsec: 6, jitterArcsec: 0.6 },
    { kind: 'streak', frames: [7], angleDeg: 24, electronsPerPx: 900 },
    {
      kind: 'cloud',
      frames: [9, 10, 11],
      course: 'passing',
      transparency: 0.36,
      patchiness: 0.08,
      glow: 0.6,
    },
  ],
};
