import { quantile } from 'simple-statistics';
import { skyLights, type SkyLights, NEVER_THE_SUN } from '../optics/index.js';
import { bounded, logistic } from './confidence.js';
import { nightConfidence } from './trail-answer.js';
import type { FrameFacts } from './night-series.js';
import type { Cause, Evidence } from './types.js';

/** Brightness of the sky against the night's dark frames at which half of all observers would remark on it. */
const MATTERS = 1.4;

export const brightSky: Cause = {
  meta: {
    code: 'bright-sky',
    title: 'The sky was bright',
    whyItMatters:
      'Moonlight, twilight or lamps add noise that no exposure takes back: faint stars and nebulae sink in it.',
    looksLike: 'Cloud over lamps brightens the sky too, but it dims the stars at the same time.',
    whatToDo:
      'Weigh these frames by their noise; plan faint targets for dark hours, or take narrow filters when the moon is up.',
    references: [
      'Sun and moon positions: astronomy-engine',
      'Noise of the sky is the root of its light (Howell, Handbook of CCD Astronomy, ch. 4)',
    ],
  },
  needs: (night) =>
    night.facts.some((f) => f.frame.background.level !== null && f.frame.background.noise !== null)
      ? null
      : 'no sky level was measured',
  judge: (night) => {
    const skies = skyFactors(night.facts);
    if (skies.length < 3 && skies.every((s) => s.lights === null)) {
      return {
        answer: 'cannot-tell',
        why: 'too few frames to compare, and no place and time to work out moon and twilight',
      };
    }
    const frames = skies
      .map((s) => ({ file: s.fact.file, confidence: confidenceOf(s) }))
      .filter((f) => f.confidence > 0.2);
    const confidence = nightConfidence(frames);
    const brightest = skies.reduce((a, b) => (b.factor > a.factor ? b : a));
    if (confidence < 0.2) {
      return {
        answer: 'clear',
        why: `the brightest sky is ${brightest.factor.toFixed(2)} times the night's dark level`,
      };
    }
    const evidence: Evidence[] = [
      {
        what: 'brightest sky against the dark frames of the night (from its noise)',
        value: brightest.factor,
        unit: 'times',
        limit: MATTERS,
      },
      { what: 'sky level there', value: brightest.fact.frame.background.level ?? NaN, unit: 'ADU' },
      ...lightsEvidence(brightest.lights),
    ];
    return { answer: 'found', confidence, frames, evidence, advice: adviceOf(brightest.lights) };
  },
};

interface SkyFactor {
  readonly fact: FrameFacts;
  /** Sky light over that of the dark frames taken with the same filter and gain. */
  readonly factor: number;
  readonly lights: SkyLights | null;
}

function skyFactors(facts: readonly FrameFacts[]): SkyFactor[] {
  const usable = facts.filter(
    (f) => (f.frame.background.noise ?? 0) > 0 && f.frame.background.level !== null,
  );
  const key = (f: FrameFacts): string =>
    [
      f.frame.header.camera,
      f.frame.header.filter,
      f.frame.header.gain,
      f.frame.header.binning?.join('x'),
    ].join('|');
  const variance = (f: FrameFacts): number => (f.frame.background.noise ?? 0) ** 2;
  const seconds = (f: FrameFacts): number => f.frame.header.exposureSeconds ?? 1;
  return usable.map((fact) => {
    const group = usable.filter((f) => f.frame.group === fact.frame.group);
    const siblings = usable.filter((f) => key(f) === key(fact));
    let factor = 1;
    if (group.length >= 4) {
      const byNoise = variance(fact) / quantile(group.map(variance), 0.2);
      const byLevel =
        (fact.frame.background.level ?? 0) -
        quantile(
          group.map((f) => f.frame.background.level ?? 0),
          0.2,
        );
      factor = byLevel > 0 ? byNoise : 1;
    }
    if (siblings.length >= 4 && siblings.length > group.length) {
      // Across exposure times: light a second; the smaller of the two estimates, as pedestal and read noise bend each its way.
      const byNoise =
        variance(fact) /
        seconds(fact) /
        quantile(
          siblings.map((f) => variance(f) / seconds(f)),
          0.2,
        );
      const level = (f: FrameFacts): number => (f.frame.background.level ?? 0) / seconds(f);
      const byLevel = level(fact) / Math.max(1e-9, quantile(siblings.map(level), 0.2));
      factor = Math.max(factor, Math.min(byNoise, byLevel));
    }
    return { fact, factor, lights: lightsOf(fact) };
  });
}

function confidenceOf(sky: SkyFactor): number {
  let logOdds = 6 * Math.log(Math.max(0.2, sky.factor) / MATTERS);
  // Cloud under lamps or moon brightens the sky and dims the stars at once.
  const transparency = sky.fact.frame.transparency;
  if (transparency !== null && transparency < 0.85) logOdds -= bounded(10 * (0.85 - transparency), 3);
  const { lights } = sky;
  if (lights !== null) {
    const moonlit = lights.moonAltitudeDeg > 0 && lights.moonLit > 0.25;
    const twilight = lights.sunAltitudeDeg > -15;
    logOdds += moonlit || twilight ? 1 : -0.3;
    if (lights.sunAltitudeDeg > -9) logOdds += 3;
  }
  return logistic(logOdds);
}

function lightsOf(fact: FrameFacts): SkyLights | null {
  const { dateObs, latitudeDeg, longitudeDeg, elevationMetre, raDeg, decDeg } = fact.frame.header;
  if (dateObs === null || latitudeDeg === null || longitudeDeg === null) return null;
  const site = { latitudeDeg, longitudeDeg, elevationMetre: elevationMetre ?? 0 };
  return skyLights(dateObs, site, raDeg === null || decDeg === null ? null : { raDeg, decDeg });
}

function lightsEvidence(lights: SkyLights | null): Evidence[] {
  if (lights === null) return [];
  const evidence: Evidence[] = [
    { what: 'altitude of the Sun', value: lights.sunAltitudeDeg, unit: 'deg', limit: -18 },
    { what: 'altitude of the moon', value: lights.moonAltitudeDeg, unit: 'deg' },
    { what: 'lit part of the moon', value: 100 * lights.moonLit, unit: '%' },
  ];
  if (lights.moonSeparationDeg !== null)
    evidence.push({ what: 'moon to target', value: lights.moonSeparationDeg, unit: 'deg' });
  return evidence;
}

function adviceOf(lights: SkyLights | null): string {
  if (lights !== null && lights.sunAltitudeDeg > 0)
    return `These frames were taken in daylight: ${NEVER_THE_SUN}.`;
  if (lights !== null && lights.sunAltitudeDeg > -15) {
    return 'Twilight: start later or end earlier; weigh these frames by their noise rather than throwing them away.';
  }
  if (lights !== null && lights.moonAltitudeDeg > 0 && lights.moonLit > 0.25) {
    return 'Moonlight: choose targets away from the moon, or narrow filters; weigh these frames by their noise rather than throwing them away.';
  }
  return 'Neither moon nor twilight explains it as far as place and time are known: look for lamps, a car, thin cloud that scatters town light, or light leaking into the tube. Weigh these frames by their noise.';
}
