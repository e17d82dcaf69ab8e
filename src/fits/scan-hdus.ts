import { FitsFormatError } from '../errors.js';
import { Header } from './header.js';
import type { ByteSource } from './source.js';
import { readStructure } from './structure.js';
import type { HduStructure } from './structure.js';

const BLOCK = 2880;
/** 100,000 cards: more than any header in use; past it a file is called broken instead of eating time. */
const MAX_HEADER_BYTES = 2880 * 2778;
const MAX_HDUS = 5000;

/** One header and data unit as it lies in the file; positions in bytes. */
export interface ScannedHdu {
  readonly index: number;
  readonly header: Header;
  /** The header's characters, one a byte, up to and with END's block. */
  readonly headerText: string;
  readonly structure: HduStructure;
  readonly dataOffset: number;
  /** Bytes of the data unit that the file really holds. */
  readonly availableBytes: number;
}

interface HeaderBlocks {
  readonly text: string;
  readonly nextOffset: number;
}

function latin1(bytes: Uint8Array): string {
  return Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length).toString('latin1');
}

/** Where END's card starts in the text, or -1. */
function findEnd(text: string, from: number): number {
  for (let at = from; at + 3 <= text.length; at += 80) {
    // END followed by anything but blanks (some writers: NUL bytes) is another keyword.
    if (text.startsWith('END', at) && /^[ \0\t\r\n]*$/.test(text.slice(at + 3, at + 80))) return at;
  }
  return -1;
}

/** True when a block can't be header text: many control bytes. */
function looksBinary(text: string): boolean {
  let control = 0;
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if ((code < 32 && code !== 9 && code !== 10 && code !== 13) || code === 127) control++;
  }
  return control * 20 > text.length;
}

function readHeaderBlocks(source: ByteSource, offset: number): HeaderBlocks | { readonly problem: string } {
  let text = '';
  let chunkBytes = 4 * BLOCK;
  for (;;) {
    const chunk = new Uint8Array(Math.min(chunkBytes, source.size - offset - text.length));
    const got = chunk.length === 0 ? 0 : source.read(chunk, offset + text.length);
    const from = text.length;
    text += latin1(chunk.subarray(0, got));
    const end = findEnd(text, from);
    if (end >= 0) {
      const bytes = Math.ceil((end + 80) / BLOCK) * BLOCK;
      return { text: text.slice(0, end + 80).padEnd(end + 80), nextOffset: offset + bytes };
    }
    for (let block = from; block < text.length; block += BLOCK) {
      if (looksBinary(text.slice(block, block + BLOCK))) {
        return { problem: `no END card before byte ${offset + block}, where the header turns into data` };
      }
    }
    if (got < chunk.length || offset + text.length >= source.size) {
      return { problem: `the file ends at byte ${offset + text.length} inside a header (no END card)` };
    }
    if (text.length >= MAX_HEADER_BYTES) {
      return { problem: `no END card within ${MAX_HEADER_BYTES / 80} cards` };
    }
    chunkBytes = Math.min(chunkBytes * 4, MAX_HEADER_BYTES - text.length);
  }
}

/**
 * Find every HDU by its header blocks, skipping over data; reads a few kilobytes whatever the file's size.
 * A broken primary header throws FitsFormatError; anything broken behind it ends the scan with a warning.
 */
export function scanHdus(source: ByteSource): { readonly hdus: ScannedHdu[]; readonly warnings: string[] } {
  const hdus: ScannedHdu[] = [];
  const warnings: string[] = [];
  let offset = 0;
  while (offset < source.size) {
    if (hdus.length === MAX_HDUS) {
      warnings.push(`only the first ${MAX_HDUS} HDUs are looked at`);
      break;
    }
    const where = hdus.length === 0 ? 'primary header' : `header of HDU ${hdus.length}`;
    const magic = new Uint8Array(Math.min(9, source.size - offset));
    source.read(magic, offset);
    if (hdus.length > 0 && !latin1(magic).startsWith('XTENSION')) {
      if (source.size - offset >= BLOCK) {
        warnings.push(`${source.size - offset} bytes after the last HDU are no extension and are ignored`);
      }
      break;
    }
    const blocks = readHeaderBlocks(source, offset);
    const header = 'problem' in blocks ? null : Header.fromText(blocks.text);
    const structure = header ? readStructure(header) : null;
    const problem =
      'problem' in blocks ? blocks.problem : structure && 'problem' in structure ? structure.problem : null;
    if (problem !== null || 'problem' in blocks || !header || !structure || 'problem' in structure) {
      if (hdus.length === 0) {
        throw new FitsFormatError(
          `${source.name}: ${where}: ${problem}`,
          'Copy the file again from where it was written; if it is the same there, it was damaged or not finished when written.',
          source.name,
        );
      }
      warnings.push(`${where} (byte ${offset}): ${problem}; the rest of the file is ignored`);
      break;
    }
    const dataOffset = blocks.nextOffset;
    const availableBytes = Math.max(0, Math.min(structure.dataBytes, source.size - dataOffset));
    const index = hdus.length;
    hdus.push({ index, header, headerText: blocks.text, structure, dataOffset, availableBytes });
    if (availableBytes < structure.dataBytes) {
      warnings.push(
        `HDU ${index} is truncated: ${availableBytes} of ${structure.dataBytes} bytes of its data are there`,
      );
      break;
    }
    offset = dataOffset + Math.ceil(structure.dataBytes / BLOCK) * BLOCK;
  }
  return { hdus, warnings };
}
