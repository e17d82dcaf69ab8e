/*
 * Mutated FITS files by the thousand: `npx tsx tests/bench/fuzz-fits.ts [count] [seed]` (default 20000, 1). Each has to end in a result or
 * in an error of ours that names the file, within a second and 200 MB. Prints the endings; fails on the first that does not keep to it.
 */
import { readFileSync, readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { mutate, readAll } from '../fits/hostile-files.js';

const MAX_SECONDS = 1;
const MAX_MEGABYTES = 200;

const folder = fileURLToPath(new URL('../fixtures/fits/', import.meta.url));
const names = readdirSync(folder).filter((name) => name.includes('.fits'));
const files = names.map((name) => ({ name, bytes: new Uint8Array(readFileSync(folder + name)) }));

const count = Number(process.argv[2] ?? 20_000);
const seed = Number(process.argv[3] ?? 1);
const endings = new Map<string, number>();
let slowest = 0;
let largest = 0;
const megabytes = (): number => {
  const { rss, arrayBuffers } = process.memoryUsage();
  return Math.max(rss, arrayBuffers) / 2 ** 20;
};
let failures = 0;
for (let i = 0; i < count; i++) {
  const { name, bytes } = files[i % files.length]!;
  const mutated = mutate(bytes, seed * 1_000_003 + i);
  const before = megabytes();
  const outcome = readAll(name, mutated, i % 2 === 0);
  largest = Math.max(largest, megabytes() - before);
  // zlib lets go of its buffers on the thread's next turn only.
  if (i % 50 === 0) await new Promise((resolve) => setImmediate(resolve));
  endings.set(outcome.ending, (endings.get(outcome.ending) ?? 0) + 1);
  slowest = Math.max(slowest, outcome.seconds);
  if (outcome.ending === 'internal' || outcome.seconds > MAX_SECONDS) {
    failures++;
    if (failures < 10)
      console.error(`file ${i} (${name}, seed ${seed}): ${outcome.seconds.toFixed(2)} s ${outcome.message}`);
  }
}
console.log(
  `${count} files: ${[...endings].map(([ending, n]) => `${n} ${ending}`).join(', ')}; slowest ${slowest.toFixed(3)} s, memory grew by at most ${largest.toFixed(0)} MB with one file, to ${megabytes().toFixed(0)} MB in the end`,
);
if (failures > 0 || largest > MAX_MEGABYTES) {
  console.error(`${failures} did not keep to the rules`);
  process.exitCode = 1;
}
