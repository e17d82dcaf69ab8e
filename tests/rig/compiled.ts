import {
  chmodSync,
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  readdirSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import ts from 'typescript';

const root = fileURLToPath(new URL('../..', import.meta.url));

/** Rooms of src/ that the history needs. */
const rooms = ['rig', 'stats', 'fits/types.ts', 'errors.ts', 'package-root.ts'];

/**
 * Compile what the history needs as plain JavaScript for child processes (which a test kills), from the sources as they are now.
 * The folder lies under node_modules so that packages are found; remove it with `cleanUp`.
 */
export function compileForChildren(): { readonly folder: string; readonly cleanUp: () => void } {
  const cache = join(root, 'node_modules/.cache');
  mkdirSync(cache, { recursive: true });
  const folder = mkdtempSync(join(cache, 'starassay-rig-'));
  // A child may run as a lesser user.
  chmodSync(folder, 0o755);
  writeFileSync(join(folder, 'package.json'), readFileSync(join(root, 'package.json')));
  for (const room of rooms) compile(join(root, 'src', room), folder);
  cpSync(join(root, 'tests/rig/child.mjs'), join(folder, 'child.mjs'));
  return { folder, cleanUp: () => rmSync(folder, { recursive: true, force: true }) };
}

function compile(path: string, folder: string): void {
  if (!existsSync(path)) return;
  if (statSync(path).isDirectory()) {
    for (const name of readdirSync(path)) compile(join(path, name), folder);
    return;
  }
  const target = join(folder, relative(root, path)).replace(/\.ts$/, '.js');
  mkdirSync(dirname(target), { recursive: true });
  const options = {
    module: ts.ModuleKind.ESNext,
    target: ts.ScriptTarget.ES2022,
    verbatimModuleSyntax: true,
  };
  writeFileSync(
    target,
    ts.transpileModule(readFileSync(path, 'utf8'), { compilerOptions: options }).outputText,
  );
}
