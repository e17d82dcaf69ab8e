import { Header } from '../../src/fits/header.js';

/** A header from cards as they stand in a file. */
export function headerOf(...images: readonly string[]): Header {
  return Header.fromText(images.map((image) => image.padEnd(80)).join(''));
}
