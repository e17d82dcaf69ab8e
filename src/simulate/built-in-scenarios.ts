import type { ScenarioInput } from './scenario.js';

/** Parts that scenarios share: an invented reflector with a corrector, f/5, whose sensor is large enough for its corners to tell. */
const reflector: Pick<ScenarioInput, 'camera' | 'telescope'> = {
  camera: { name: 'Plover M9', widthPx: 1000, heightPx: 700, pixelMicron: 9, angleDeg: 4 },
  telescope: { name: 'Heron 300/1500', focalLengthMm: 1500, apertureMm: 300, obstruction: 0.3 },
};

/** The night in `sample-frames/`: a good start, one guiding trail, one satellite, a cloud, and focus lost in a cold spell. */
const sampleNight: ScenarioInput = {
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

/** Nothing goes wrong: what is left is the seeing. */
const cleanNight: ScenarioInput = {
  name: 'clean-night',
  description: 'Twelve subs, focus set again every half hour, nothing wrong with the rig or the sky.',
  severity: 'clean',
  ...reflector,
  focus: { refocusBefore: [5, 9] },
  night: { exposureSeconds: 180, gapSeconds: 400 },
};

/** A tilt between camera and optics; the focus differs from sub to sub, as it does in a real night, so that its side shows. */
const tiltedCamera: ScenarioInput = {
  name: 'tilted-camera',
  description:
    'The camera sits askew: one side of the frame is soft on one side of focus, the other on the other.',
  severity: 'medium',
  ...reflector,
  optics: { tilt: { spanMicron: 220, directionDeg: 130 } },
  focus: { startMicron: -20, micronPerKelvin: -14, refocusBefore: [5, 9], refocusScatterMicron: 18 },
  temperature: { startC: 12, dropPerHourC: 0.9 },
  night: { exposureSeconds: 180, gapSeconds: 600 },
};

/** The sensor stands closer to the corrector than it wants. */
const shortSpacing: ScenarioInput = {
  name: 'short-spacing',
  description: 'The sensor sits 1.4 mm too close to the corrector: the corners are drawn out.',
  severity: 'medium',
  ...reflector,
  optics: { astigmatismMicron: -45, spacing: { errorMm: -1.4, curvatureMicronPerMm: 70 } },
  focus: { startMicron: -20, micronPerKelvin: -14, refocusBefore: [5, 9], refocusScatterMicron: 18 },
  temperature: { startC: 12, dropPerHourC: 0.9 },
  night: { exposureSeconds: 180, gapSeconds: 600 },
};

/** Gusts, then lost guiding, under a rising Moon. */
const windyNight: ScenarioInput = {
  name: 'windy-night',
  description: 'Gusts shake some subs, guiding is lost in two, and the Moon rises.',
  ...reflector,
  frames: 14,
  night: { start: '2026-09-30T18:40:00Z', exposureSeconds: 180, gapSeconds: 500 },
  sky: { moonAndTwilight: true },
  faults: [
    { kind: 'wind', frames: [3, 4, 6, 7], rmsArcsec: 1.7, angleDeg: 70 },
    { kind: 'guiding', frames: [10, 11], axis: 'ra', driftArcsec: 5 },
  ],
};

/** Eleven focuser positions through focus, on a rig with some tilt, curvature and astigmatism. */
const focusSweep: ScenarioInput = {
  name: 'focus-sweep',
  description: 'Eleven frames through focus: tilt, field curvature and astigmatism to be found.',
  ...reflector,
  frames: 11,
  optics: { tilt: { spanMicron: 90, directionDeg: 215 }, curvatureMicron: -70, astigmatismMicron: 25 },
  seeing: { arcsec: 2.4, spread: 0.1 },
  stars: { count: 500, faintest: 60, brightest: 30_000 },
  night: { exposureSeconds: 20, gapSeconds: 6, ditherPx: 2 },
  focus: { micronPerKelvin: -9 },
  sweep: { rangeMicron: 500, centreMicron: 30 },
};

/** The same sweep at five spacings, each in a folder of its own. */
const spacingLadder: ScenarioInput = {
  name: 'spacing-ladder',
  description: 'Focus sweeps of seven frames at five spacings around the one the corrector wants.',
  ...reflector,
  frames: 7,
  optics: {
    tilt: { spanMicron: 40, directionDeg: 70 },
    astigmatismMicron: -20,
    spacing: { nominalMm: 55.3, curvatureMicronPerMm: 70, reducerFocalLengthMm: 240 },
  },
  seeing: { arcsec: 2.4, spread: 0.1 },
  stars: { count: 500, faintest: 60, brightest: 30_000 },
  night: { exposureSeconds: 20, gapSeconds: 6, ditherPx: 2 },
  sweep: { rangeMicron: 520 },
  ladder: { spacingsMm: [54, 54.5, 55, 55.5, 56] },
};

/** Scenarios that are known by name, in the order they are listed. */
export const builtInScenarios: readonly ScenarioInput[] = [
  sampleNight,
  cleanNight,
  tiltedCamera,
  shortSpacing,
  windyNight,
  focusSweep,
  spacingLadder,
];
