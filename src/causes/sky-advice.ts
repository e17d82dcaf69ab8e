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

/** What to do about bright frames, source by source; the frames are named where there are several sources. */
export function skyAdvice(frames: readonly BrightFrame[]): string {
  const groups = ORDER.flatMap((source) => {
    const alike = frames.filter((f) => f.witness.source === source);
    return [alike.filter((f) => moonPossible(f.witness)), alike.filter((f) => !moonPossible(f.witness))];
  }).filter((group) => group.length > 0);
  return groups.map((group) => (groups.length > 1 ? `${names(group)}: ` : '') + sentence(group)).join(' ');
}

function sentence(group: readonly BrightFrame[]): string {
  // The first of a group speaks for it; the brightest comes first.
  const { witness, airmass } = group[0];
  const moon = moonWords(witness);
  switch (witness.source) {
    case 'daylight':
      return `taken in daylight: ${NEVER_THE_SUN}.`;
    case 'twilight':
      return 'twilight: start later or end earlier; weigh these frames by their noise rather than throwing them away.';
    case 'moon':
      return `moonlight (${moon}): choose targets away from the moon, or narrow filters; weigh these frames by their noise rather than throwing them away.`;
    case 'none':
      if (airmass !== null && airmass > LOW)
        return `neither moon nor twilight explains it, but the target stood low (airmass ${airmass.toFixed(1)}), where air and lamps brighten the sky: shoot it higher. ${WEIGH}`;
      return 'neither moon nor twilight explains it: look for lamps, a car, thin cloud that scatters town light, or light leaking into the tube. Weigh these frames by their noise.';
    default:
      return unknown(witness, moon);
  }
}

function unknown(witness: SkyWitness, moon: string | null): string {
  const place = 'the header does not say where they were taken, so twilight was not checked';
  if (moon === null) return `${place.replace('where', 'when and where')}, nor the moon. ${WEIGH}`;
  return moonPossible(witness)
    ? `${place}; the moon was ${moon}, and is the likely source if it was up. ${WEIGH}`
    : `${place}; the moon (${moon}) is not the source: look for lamps or light leaking into the tube if it was dark. ${WEIGH}`;
}

const WEIGH = 'Weigh these frames by their noise.';

function names(group: readonly BrightFrame[]): string {
  const first = group.slice(0, NAMED).map((f) => f.file);
  const more = group.length - first.length;
  return first.join(', ') + (more > 0 ? ` and ${more} more` : '');
}
