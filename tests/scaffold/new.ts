// npm run new -- cause|panel|command NAME: source, registry line and test of a new part, together.
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { newPart, partKinds, type PartKind } from './new-part.js';

const root = fileURLToPath(new URL('../..', import.meta.url));
const [kind, name] = process.argv.slice(2);
if (!partKinds.includes(kind as PartKind) || name === undefined) {
  console.error(`Usage: npm run new -- ${partKinds.join('|')} NAME`);
  process.exit(2);
}
const read = (path: string): string | null =>
  existsSync(join(root, path)) ? readFileSync(join(root, path), 'utf8') : null;
try {
  for (const { path, text } of newPart(kind as PartKind, name, read)) {
    writeFileSync(join(root, path), text);
    console.log(path);
  }
} catch (error) {
  if (!(error instanceof RangeError)) throw error;
  console.error(error.message);
  process.exit(2);
}
