import { NEVER_THE_SUN } from '../optics/index.js';
import { moonPossible, moonWords, type SkySource, type SkyWitness } from './sky-source.js';

/** A bright frame with what lit it. */
export interface BrightFrame {
  readonly file: string;
  readonly witness: SkyWitness;
  readonly airmass: number | null;
}

const ORDER: readonly SkySource[] = ['daylight', 'twilight', 'moon', 'none', 'unknown'];
const NAMED = 3;
/** Airmass from which the sky itself is brighter: 30 degrees above the horizon. */
const LOW = 2;

/** Bright frames by what lit them, each group in the order given: its first frame speaks for it, in evidence and advice. */
export function bySource<T extends Pick<BrightFrame, 'witness'>>(frames: readonly T[]): T[][] {
  return ORDER.flatMap((source) => {
    const alike = frames.filter((f) => f.witness.source === source);
    return [alike.filter((f) => moonPossible(f.witness)), alike.filter((f) => !moonPossible(f.witness))];
  }).filter((group) => group.length > 0);
}

/** What to do about bright frames, source by source; the frames are named where there are several sources. */
export function skyAdvice(frames: readonly BrightFrame[]): string {
  const groups = bySource(frames);
  return groups.map((group) => (groups.length > 1 ? `${names(group)}: ` : '') + sentence(group)).join(' ');
}

function sentence(group: readonly BrightFrame[]): string {
  const { witness, airmass } = group[0];
  const moon = moonOf(group);
  switch (witness.source) {
    case 'daylight':
      return `taken in daylight: ${NEVER_THE_SUN}.`;
    case 'twilight':
      return 'twilight: start later or end earlier; weigh these frames by their noise rather than throwing them away.';
    case 'moon':
      return `moonlight (${moon}): choose targets away from the moon, or narrow filters; weigh these frames by their noise rather than throwing them away.`;
    case 'none':
      if (airmass !== null && airmass > LOW)
        return `${ruledOut(witness)}, but the target stood low (airmass ${airmass.toFixed(1)}), where air and lamps brighten the sky: shoot it higher. ${WEIGH}`;
      return `${ruledOut(witness)}: look for lamps, a car, thin cloud that scatters town light, or light leaking into the tube. ${WEIGH}`;
    default:
      return unknown(witness, moon);
  }
}

/** The moon of the frame that speaks for the group, named where it was another for the others. */
function moonOf(group: readonly BrightFrame[]): string | null {
  const words = moonWords(group[0].witness);
  return words !== null && group.some((f) => moonWords(f.witness) !== words)
    ? `${words} in ${group[0].file}`
    : words;
}

/** Without a place, moon and twilight are ruled out by the target's own altitude; other frames may leave them open. */
function ruledOut({ distant }: SkyWitness): string {
  return distant === null
    ? 'neither moon nor twilight explains it'
    : "neither moon nor twilight explains it (told from the target's own altitude, as the header gives no place)";
}

function unknown(witness: SkyWitness, moon: string | null): string {
  if (moon === null)
    return `the header does not say when and where they were taken, so twilight was not checked, nor the moon. ${WEIGH}`;
  const altitude =
    (witness.distant?.sunAltitudeDeg ?? null) === null
      ? 'nor how high the target stood'
      : "and the target's altitude leaves that of the Sun open";
  const place = `the header does not say where they were taken, ${altitude}, so twilight was not checked`;
  return moonPossible(witness)
    ? `${place}; the moon was ${moon}, and is the likely source if it was up. ${WEIGH}`
    : `${place}; the moon (${moon}) is not the source: unless it was dusk or dawn, look for lamps or light leaking into the tube. ${WEIGH}`;
}

const WEIGH = 'Weigh these frames by their noise.';

function names(group: readonly BrightFrame[]): string {
  const first = group.slice(0, NAMED).map((f) => f.file);
  const more = group.length - first.length;
  return first.join(', ') + (more > 0 ? ` and ${more} more` : '');
}
