import { FitsFormatError } from '../errors.js';
import type { FitsFile, FitsHdu, HduKind } from './fits-file.js';
import { gunzip, isGzip } from './gunzip.js';
import { settleImageStructure } from './image-structure.js';
import { scanHdus } from './scan-hdus.js';
import type { ScannedHdu } from './scan-hdus.js';
import { bytesSource, fileSource } from './source.js';
import type { ByteSource } from './source.js';

export interface OpenFitsOptions {
  /** Most bytes a gzipped file may inflate to; default 1 GiB. */
  readonly maxInflatedBytes?: number;
}

const foreign: readonly (readonly [magic: string, what: string, remedy: string])[] = [
  ['BZh', 'a bzip2 archive', 'Unpack it with bunzip2 first.'],
  ['\xfd7zXZ', 'an xz archive', 'Unpack it with unxz first.'],
  ['PK\x03\x04', 'a zip archive', 'Unpack it first.'],
  ['\x1f\x9d', 'an old Unix compress file', 'Unpack it with gunzip first.'],
  ['\x28\xb5\x2f\xfd', 'a zstd archive', 'Unpack it with unzstd first.'],
  [
    'version https://git-lfs',
    'a Git LFS pointer, not the file itself',
    'Fetch the real file with git lfs pull.',
  ],
  ['\xff\xd8\xff', 'a JPEG picture', 'Give the FITS file of the exposure.'],
  ['\x89PNG', 'a PNG picture', 'Give the FITS file of the exposure.'],
  ['II*\0', 'a TIFF or camera raw file', 'Convert it to FITS first.'],
  ['MM\0*', 'a TIFF or camera raw file', 'Convert it to FITS first.'],
];

function checkSignature(source: ByteSource): void {
  if (source.size === 0) {
    throw new FitsFormatError(
      `${source.name}: the file is empty (0 bytes)`,
      'It was never written, or the disk was full: take the copy from the camera computer.',
      source.name,
    );
  }
  const start = new Uint8Array(Math.min(32, source.size));
  source.read(start, 0);
  const text = Buffer.from(start).toString('latin1');
  if (/^SIMPLE {0,2}\s*=/.test(text)) return;
  const known = foreign.find(([magic]) => text.startsWith(magic));
  throw new FitsFormatError(
    `${source.name}: is not a FITS file: it is ${known ? known[1] : `something that starts with ${JSON.stringify(text.slice(0, 12))}`}`,
    known
      ? known[2]
      : 'A FITS file starts with "SIMPLE  =". Take the file out of the folder, or copy it again.',
    source.name,
  );
}

function classify(scanned: ScannedHdu): { kind: HduKind; bitpix: number; axes: readonly number[] } {
  const { header, structure } = scanned;
  const { bitpix, axes } = structure;
  const extension = (header.text('XTENSION') ?? '').trim().toUpperCase();
  if (structure.randomGroups) return { kind: 'groups', bitpix, axes };
  if (extension === 'BINTABLE' || extension === 'A3DTABLE') {
    if (header.get('ZIMAGE') !== true) return { kind: 'table', bitpix, axes };
    const znaxis = header.integer('ZNAXIS') ?? 0;
    const inner = Array.from(
      { length: Math.max(0, Math.min(znaxis, 999)) },
      (_, i) => header.integer(`ZNAXIS${i + 1}`) ?? 0,
    );
    return { kind: 'compressed-image', bitpix: header.integer('ZBITPIX') ?? 0, axes: inner };
  }
  if (extension === 'TABLE') return { kind: 'table', bitpix, axes };
  if (extension !== '' && extension !== 'IMAGE' && extension !== 'IUEIMAGE')
    return { kind: 'other', bitpix, axes };
  return { kind: structure.dataBytes === 0 ? 'empty' : 'image', bitpix, axes };
}

function openSource(source: ByteSource, options: OpenFitsOptions): FitsFile {
  try {
    const start = new Uint8Array(2);
    source.read(start, 0);
    const plain = isGzip(start) ? gunzip(source, options.maxInflatedBytes) : source;
    checkSignature(plain);
    const scan = scanHdus(plain);
    const warnings = [...scan.warnings];
    const hdus = scan.hdus.map((scanned): FitsHdu => {
      const { index, header, headerText, structure, dataOffset, availableBytes } = scanned;
      const kindAndAxes = classify(scanned);
      if (kindAndAxes.kind === 'image') {
        for (const warning of settleImageStructure(headerText, structure))
          warnings.push(`HDU ${index}: ${warning}`);
      }
      const name = (header.text('EXTNAME') ?? '').trim();
      return { index, name, header, structure, dataOffset, availableBytes, ...kindAndAxes };
    });
    return {
      name: source.name,
      size: source.size,
      hdus,
      warnings,
      source: plain,
      close: () => source.close(),
    };
  } catch (error) {
    source.close();
    throw error;
  }
}

/**
 * Open a FITS file and read its headers, a few kilobytes whatever its size; `.gz` files are known by their content and inflated
 * into memory. Throws FitsFormatError, with a remedy, for anything that can't be read as FITS.
 */
export function openFits(path: string, options: OpenFitsOptions = {}): FitsFile {
  return openSource(fileSource(path), options);
}

/** The same over bytes in memory; `name` is used in messages. */
export function openFitsBytes(name: string, bytes: Uint8Array, options: OpenFitsOptions = {}): FitsFile {
  return openSource(bytesSource(name, bytes), options);
}
