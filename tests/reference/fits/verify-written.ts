/*
 * Judges frames of every built-in scenario that `simulate` writes with NASA's fitsverify (Debian: fitsverify):
 * `npx tsx tests/reference/fits/verify-written.ts [frames a scenario]` (default 3, of 400 x 300 pixels).
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const frames = process.argv[2] ?? '3';
const root = fileURLToPath(new URL('../../../', import.meta.url));
const run = (args: readonly string[]): string => {
  const { stdout, stderr, status } = spawnSync('npx', ['tsx', 'src/cli/main.ts', 'simulate', ...args], {
    cwd: root,
    encoding: 'utf8',
  });
  if (status !== 0) throw new Error(`simulate ${args.join(' ')}: ${stderr}`);
  return stdout;
};

const { builtInScenarios } = await import('../../../src/simulate/index.js');
const folder = mkdtempSync(join(tmpdir(), 'starassay-verify-'));
let judged = 0;
let refused = 0;
try {
  for (const { name } of builtInScenarios) {
    const out = join(folder, name);
    run([name, '--out', out, '--frames', frames, '--size', '400x300']);
    const files = readdirSync(out, { recursive: true, encoding: 'utf8' }).filter((file) =>
      file.endsWith('.fits'),
    );
    for (const file of files) {
      const { stdout } = spawnSync('fitsverify', ['-q', join(out, file)], { encoding: 'utf8' });
      judged++;
      if (!/^verification OK/.test(stdout.trim())) {
        refused++;
        console.log(`${name}/${file}: ${stdout.trim()}`);
      }
    }
  }
} finally {
  rmSync(folder, { recursive: true, force: true });
}
console.log(`fitsverify judged ${judged} frames that simulate wrote and refused ${refused}`);
if (refused > 0 || judged === 0) process.exitCode = 1;
