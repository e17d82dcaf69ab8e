import type { Header } from './header.js';
import type { FrameKind } from './types.js';

const keywords = [
  'IMAGETYP',
  'IMAGETYPE',
  'IMGTYPE',
  'FRAMETYP',
  'FRAME',
  'OBSTYPE',
  'OBS-TYPE',
  'OBS_TYPE',
  'EXPTYPE',
  'PICTTYPE',
  'DPR TYPE',
  'ESO DPR TYPE',
];

function kindOf(text: string): FrameKind | null {
  const word = text.toLowerCase();
  if (/bias|zero|offset/.test(word)) return 'bias';
  // A dark for flats is a dark.
  if (/dark/.test(word)) return 'dark';
  if (/flat/.test(word)) return 'flat';
  if (/light|object|science|target|expose|std|standard|sky|tricolou?r|^image$/.test(word)) return 'light';
  return null;
}

/** What kind of exposure the header says this is, and by which keyword; `unknown` when it does not say. */
export function readFrameKind(header: Header): { readonly kind: FrameKind; readonly source: string | null } {
  for (const source of keywords) {
    const value = header.text(source);
    const kind = value === null ? null : kindOf(value);
    if (kind) return { kind, source };
  }
  return { kind: 'unknown', source: null };
}
