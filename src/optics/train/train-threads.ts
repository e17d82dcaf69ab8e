/** How two parts of an imaging train hold on to each other. */
export interface JointStandard {
  /** Name used in train files, e.g. `M48x0.75`. */
  readonly name: string;
  readonly kind: 'thread' | 'barrel' | 'bayonet';
  /** Major diameter of a thread or outer diameter of a barrel, mm. */
  readonly diameterMm: number;
  /** Thread pitch, mm; null for barrels and bayonets. */
  readonly pitchMm: number | null;
  /** Other spellings that mean the same, lower case without blanks. */
  readonly aliases: readonly string[];
  /** What it is used for, and where the figures come from. */
  readonly note: string;
}

const ISO = 'ISO 261 / ISO 724 metric fine thread';
const INCH = 'inch size, 1 in = 25.4 mm exactly';

function metric(
  diameterMm: number,
  pitchMm: number,
  note: string,
  aliases: readonly string[] = [],
): JointStandard {
  return {
    name: `M${diameterMm}x${pitchMm}`,
    kind: 'thread',
    diameterMm,
    pitchMm,
    aliases,
    note: `${note}; ${ISO}`,
  };
}

/** Joints met in imaging trains: open data, extended or overruled by the `threads` list of a train file. */
export const jointStandards: readonly JointStandard[] = [
  metric(28.5, 0.6, '1.25-inch filters', ['1.25filter']),
  metric(36.4, 0.75, 'small filter wheels'),
  metric(42, 0.75, 'T thread of cameras and adapters', ['t', 't2', 'tthread', 't-thread', 'm42t']),
  metric(42, 1, 'old screw lens mount: looks like the T thread and jams in it'),
  metric(48, 0.75, '2-inch filters, wide adapters', ['m48', '2filter']),
  metric(50, 1, 'focuser adapters'),
  metric(54, 0.75, 'wide adapters', ['m54']),
  metric(56, 1, 'flatteners'),
  metric(60, 1, 'flatteners'),
  metric(63, 1, 'flatteners'),
  metric(68, 1, 'large focusers and filter wheels', ['m68']),
  metric(72, 1, 'large flatteners'),
  metric(82, 1, 'large flatteners'),
  {
    name: 'C-mount',
    kind: 'thread',
    diameterMm: 25.4,
    pitchMm: 25.4 / 32,
    aliases: ['c', 'cmount', 'cs', 'cs-mount'],
    note: `1-32 UN, ${INCH} (ISO 10935)`,
  },
  {
    name: '2in-24',
    kind: 'thread',
    diameterMm: 50.8,
    pitchMm: 25.4 / 24,
    aliases: ['2"-24', '2-24', 'sct'],
    note: `rear cell of catadioptric tubes, 24 turns an inch, ${INCH} (common practice)`,
  },
  {
    name: '1.25in-barrel',
    kind: 'barrel',
    diameterMm: 31.75,
    pitchMm: null,
    aliases: ['1.25"', '1.25in', '1.25', '1.25barrel', '1.25"barrel'],
    note: `clamped barrel, ${INCH}`,
  },
  {
    name: '2in-barrel',
    kind: 'barrel',
    diameterMm: 50.8,
    pitchMm: null,
    aliases: ['2"', '2in', '2', '2barrel', '2"barrel', '2-inch', '2inch'],
    note: `clamped barrel, ${INCH}`,
  },
];

/** Note of a thread that only a train file names. */
const OUTSIDE_CATALOGUE = 'not in the catalogue';

/** A metric thread that is written out in a train file but stands in no list: perhaps a slip of the pen. */
export function isOutsideCatalogue(standard: JointStandard): boolean {
  return standard.note.startsWith(OUTSIDE_CATALOGUE);
}

/** One end of a part: which joint, and whether this end is the one with the outer (male) or the inner (female) thread. */
export interface JointEnd {
  readonly standard: JointStandard;
  readonly gender: 'male' | 'female' | null;
}

function key(text: string): string {
  return text
    .toLowerCase()
    .replace(/[\s_]/g, '')
    .replace(/×|\*/g, 'x')
    .replace(/,/g, '.')
    .replace(/mm/g, '')
    .replace(/(thread|barrel)$/, '');
}

/**
 * Read one end of a part, such as `M48x0.75 female`, `T thread male`, `2-inch barrel`.
 *
 * @param text what the train file says; a thread missing from the catalogue but written `M<diameter>x<pitch>` is understood too where such a thread can be
 * @param extra joints that the file itself defines; they win over the catalogue
 * @returns null when the text names no joint that is known
 */
export function parseJointEnd(text: string, extra: readonly JointStandard[] = []): JointEnd | null {
  const words = text.match(/\b(female|male|inner|outer|internal|external|[fm])\b\s*$/i);
  const gender = words ? (/^(female|inner|internal|f)$/i.test(words[1]!) ? 'female' : 'male') : null;
  const name = key(words ? text.slice(0, words.index) : text);
  if (name === '') return null;
  for (const standard of [...extra, ...jointStandards]) {
    if (key(standard.name) === name || standard.aliases.some((alias) => key(alias) === name)) {
      return { standard, gender };
    }
  }
  const size = name.match(/^m(\d+(?:\.\d+)?)x(\d+(?:\.\d+)?)$/);
  if (!size) return null;
  const [diameterMm, pitchMm] = [Number(size[1]), Number(size[2])];
  // Outside of these no tube of a telescope has its thread (common practice): rather a slip of the pen.
  if (diameterMm < 6 || diameterMm > 200 || pitchMm < 0.25 || pitchMm > 3) return null;
  return { standard: metric(diameterMm, pitchMm, OUTSIDE_CATALOGUE), gender };
}

/** How an end reads in a list: `M48x0.75 female`. */
export function jointEndText(end: JointEnd | null): string {
  if (end === null) return 'joint not given';
  return end.gender === null ? end.standard.name : `${end.standard.name} ${end.gender}`;
}

/** What meets where two parts are put together. */
export interface JointVerdict {
  readonly fits: 'yes' | 'no' | 'unknown';
  readonly clamped: boolean;
  /** In words, when it does not fit or cannot be told. */
  readonly why: string;
}

/**
 * Can these two ends be joined: same joint, one male and one female?
 *
 * `front` is the end that looks to the telescope's side of the joint, `behind` the one on the camera's side; null = not given in the file.
 */
export function judgeJoint(front: JointEnd | null, behind: JointEnd | null): JointVerdict {
  const clamped = front?.standard.kind === 'barrel' || behind?.standard.kind === 'barrel';
  if (front === null || behind === null)
    return { fits: 'unknown', clamped, why: 'a joint is not given in the file' };
  const [a, b] = [front.standard, behind.standard];
  if (a.kind !== b.kind || Math.abs(a.diameterMm - b.diameterMm) > 0.05) {
    return { fits: 'no', clamped, why: `${a.name} does not fit ${b.name}` };
  }
  if (a.pitchMm !== null && b.pitchMm !== null && Math.abs(a.pitchMm - b.pitchMm) > 0.005) {
    return {
      fits: 'no',
      clamped,
      why: `${a.name} and ${b.name} have the same diameter but another pitch: they bind after a turn or two, do not force them`,
    };
  }
  if (front.gender !== null && front.gender === behind.gender) {
    return {
      fits: 'no',
      clamped,
      why: `both ends are ${front.gender}: a ${a.name} gender changer is needed`,
    };
  }
  return { fits: 'yes', clamped, why: '' };
}

/**
 * Widest clear hole that a tube with this joint can have, mm: minor diameter of the thread less a thin wall on each side, or the barrel less its wall.
 *
 * Minor diameter d - 1.0825 P (ISO 724); walls of 1 mm for threads and 1.5 mm for barrels are common practice, no source.
 */
export function usualClearApertureMm(standard: JointStandard): number {
  if (standard.pitchMm === null) return standard.diameterMm - 3;
  return standard.diameterMm - 1.0825 * standard.pitchMm - 2;
}
