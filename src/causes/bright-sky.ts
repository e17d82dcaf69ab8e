import { quantile } from 'simple-statistics';
import { bounded, carryingFrames, logistic } from './confidence.js';
import { frameAirmass } from './extinction.js';
import { bySource, skyAdvice } from './sky-advice.js';
import {
  moonPossible,
  moonWords,
  skyEvidence,
  skyWitness,
  type SkySource,
  type SkyWitness,
} from './sky-source.js';
import { nightConfidence } from './trail-answer.js';
import type { FrameFacts } from './night-series.js';
import type { Cause, Evidence } from './types.js';

/** Brightness of the sky against the frames with the darkest sky at which half of all observers would remark on it. */
const MATTERS = 1.4;
/** How sharply the odds rise with the brightness: log-odds for each e-fold. */
const STEEPNESS = 6;
/** Why a rise below the general limit counts. */
const SOURCE_WORDS: Record<SkySource, string> = {
  daylight: ', by day',
  twilight: ', in twilight',
  moon: ', with the moon up',
  none: '',
  unknown: '',
};
/** Altitude of the Sun above which no sky is dark. */
const BRIGHT_TWILIGHT_DEG = -9;

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
    if (skies.length < 3 && skies.every((s) => s.witness.lights === null)) {
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
    // A moon that never set lifts the level that frames are compared with: then a small rise says little.
    const moon = moonThroughout(skies);
    if (confidence < 0.5 && moon !== null) {
      return {
        answer: 'cannot-tell',
        why: `${moon} (${moonWords(brightest.witness)} in ${brightest.fact.file}), so none has a dark sky to compare with: count on moonlight in all of them`,
      };
    }
    if (confidence < 0.2) {
      return {
        answer: 'clear',
        why: `the brightest sky is ${brightest.factor.toFixed(2)} times the night's dark level`,
      };
    }
    const named = new Set(carryingFrames(frames, confidence).map((f) => f.file));
    const bright = skies.filter((s) => named.has(s.fact.file)).sort((a, b) => b.factor - a.factor);
    const evidence = bySource(bright).flatMap(([first]) => evidenceOf(first));
    return {
      answer: 'found',
      confidence,
      effect: Math.sqrt(bright[0].factor) - 1,
      frames,
      evidence,
      advice: [
        adviceOf(bright),
        ...(moon === null ? [] : [`${capital(moon)}: the darkest of them is moonlit too, only less.`]),
      ].join(' '),
    };
  },
};

/** Words for a moon that was up, or may have been, in every frame; null where some frame was dark for all that is known. */
function moonThroughout(skies: readonly SkyFactor[]): string | null {
  const up = skies.filter((s) => s.witness.source === 'moon').length;
  if (up === 0 || !skies.every((s) => s.witness.source === 'moon' || moonPossible(s.witness))) return null;
  return up === skies.length
    ? 'the moon was up in every frame'
    : `the moon was up in ${up} of ${skies.length} frames, and may have been in the others`;
}

function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

interface SkyFactor {
  readonly fact: FrameFacts;
  /** Sky light over that of the frames with the darkest sky taken with the same filter and gain. */
  readonly factor: number;
  readonly witness: SkyWitness;
}

/**
 * The darker frames of several: how many there are, and the lower fifth of their sky's variance and level, or that of the frames alone which nothing
 * known lit, where it is lower: a moon that sets in the last hour leaves less than a fifth of them dark.
 */
interface DarkSky {
  readonly frames: number;
  readonly variance: number;
  readonly level: number;
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
  const level = (f: FrameFacts): number => f.frame.background.level ?? 0;
  const witnesses = new Map(usable.map((fact) => [fact, skyWitness(fact)]));
  const isLit = (f: FrameFacts): boolean => !['none', 'unknown'].includes(witnesses.get(f)!.source);
  /** Per group of frames, light over `per`. */
  const darkest = (
    keyOf: (f: FrameFacts) => string,
    per: (f: FrameFacts) => number,
  ): Map<string, DarkSky> => {
    const groups = new Map<string, FrameFacts[]>();
    for (const fact of usable) {
      const name = keyOf(fact);
      const members = groups.get(name);
      if (members === undefined) groups.set(name, [fact]);
      else members.push(fact);
    }
    const skies = new Map<string, DarkSky>();
    for (const [name, members] of groups) {
      const unlit = members.filter((f) => !isLit(f));
      // Where a moon may have lit most of these too, the darkest speaks for the dark.
      const part = unlit.some((f) => moonPossible(witnesses.get(f)!)) ? 0 : 0.2;
      const lowest = (figure: (f: FrameFacts) => number): number =>
        Math.min(
          quantile(members.map(figure), 0.2),
          ...(unlit.length > 0 ? [quantile(unlit.map(figure), part)] : []),
        );
      skies.set(name, {
        frames: members.length,
        variance: lowest((f) => variance(f) / per(f)),
        level: lowest((f) => level(f) / per(f)),
      });
    }
    return skies;
  };
  const groups = darkest(
    (f) => f.frame.group,
    () => 1,
  );
  const families = darkest(key, seconds);
  return usable.map((fact) => {
    const group = groups.get(fact.frame.group)!;
    const siblings = families.get(key(fact))!;
    let factor = 1;
    if (group.frames >= 4 && level(fact) > group.level) factor = variance(fact) / group.variance;
    if (siblings.frames >= 4 && siblings.frames > group.frames) {
      // Across exposure times: light a second; the smaller of the two estimates, as pedestal and read noise bend each its way.
      const byNoise = variance(fact) / seconds(fact) / siblings.variance;
      const byLevel = level(fact) / seconds(fact) / Math.max(1e-9, siblings.level);
      factor = Math.max(factor, Math.min(byNoise, byLevel));
    }
    return { fact, factor, witness: witnesses.get(fact)! };
  });
}

function confidenceOf(sky: SkyFactor): number {
  return logistic(STEEPNESS * Math.log(Math.max(0.2, sky.factor) / MATTERS) + besides(sky));
}

/** Log-odds of a bright sky by what is known besides its brightness. */
function besides(sky: SkyFactor): number {
  let logOdds = 0;
  // Cloud under lamps or moon brightens the sky and dims the stars at once.
  const transparency = sky.fact.frame.transparency;
  if (transparency !== null && transparency < 0.85) logOdds -= bounded(10 * (0.85 - transparency), 3);
  const { source, lights, distant } = sky.witness;
  if (source === 'none') logOdds -= 0.3;
  else if (source !== 'unknown') logOdds += 1;
  if ((lights?.sunAltitudeDeg ?? distant?.sunAltitudeDeg?.[0] ?? -90) > BRIGHT_TWILIGHT_DEG) logOdds += 3;
  return logOdds;
}

/** What one frame shows, the frame named. The limit is that of this frame: under a moon or twilight sky a smaller rise is told. */
function evidenceOf(sky: SkyFactor): Evidence[] {
  const limit = MATTERS * Math.exp(-besides(sky) / STEEPNESS);
  const source = SOURCE_WORDS[sky.witness.source];
  const evidence: Evidence[] = [
    {
      what: `sky light against the frames with the darkest sky, from its noise${source}`,
      value: sky.factor,
      unit: 'times',
      // By day no rise is needed.
      ...(limit > 1 ? { limit } : {}),
    },
    { what: 'sky level', value: sky.fact.frame.background.level ?? NaN, unit: 'ADU' },
    ...skyEvidence(sky.witness),
  ];
  return evidence.map((entry) => ({ ...entry, what: `${entry.what} (${sky.fact.file})` }));
}

/** Advice for the frames that are named, brightest first. */
function adviceOf(bright: readonly SkyFactor[]): string {
  const advice = skyAdvice(
    bright.map(({ fact, witness }) => ({ file: fact.file, witness, airmass: frameAirmass(fact.frame) })),
  );
  // Where several sources are told of, it starts with a frame's name.
  return bright.some(({ fact }) => advice.startsWith(fact.file)) ? advice : capital(advice);
}
