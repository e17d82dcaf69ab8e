import { execFileSync } from 'node:child_process';
import { existsSync, readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('..', import.meta.url));

/** Compile the kernels where a run of single test files finds none, or older ones than their source. */
export function setup(): void {
  const built = join(root, 'dist/src/kernels/kernels.wasm');
  const source = join(root, 'src/kernels/assembly');
  const newest = Math.max(...readdirSync(source).map((name) => statSync(join(source, name)).mtimeMs));
  if (existsSync(built) && statSync(built).mtimeMs > newest) return;
  execFileSync('npm', ['run', '--silent', 'build:kernels'], { cwd: root, stdio: 'inherit' });
}
