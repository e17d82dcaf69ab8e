/*
 * Speed of reading a 26 Mpx 16-bit frame to physical values: `npx tsx tests/bench/fits-speed.ts`. A plain read of its bytes into memory
 * and funpack (where installed, started as a process) take turns with our reader in the same run; medians of nine turns.
 */
import { spawnSync } from 'node:child_process';
import { closeSync, existsSync, fstatSync, openSync, readSync } from 'node:fs';
import { medianSorted } from 'simple-statistics';
import { chooseImage, createScratch, openFits, readFrameHeader, readPlane } from '../../src/fits/index.js';
import { makeBigFrame } from './make-big-frame.js';

const TURNS = 9;
const path = makeBigFrame('26 Mpx', 6000, 1);
const packed = `${path}.fz`;
if (!existsSync(packed)) spawnSync('fpack', ['-r', path]);
const scratch = createScratch();

function plainRead(): void {
  const descriptor = openSync(path, 'r');
  const bytes = Buffer.alloc(fstatSync(descriptor).size);
  readSync(descriptor, bytes, 0, bytes.length, 0);
  closeSync(descriptor);
}

function header(name: string): void {
  const file = openFits(name);
  readFrameHeader(file, chooseImage(file));
  file.close();
}

function plane(name: string): void {
  const file = openFits(name);
  readPlane(file, chooseImage(file), { scratch });
  file.close();
}

const contestants: Record<string, () => void> = {
  'plain read of the bytes': plainRead,
  'header alone': () => header(path),
  'frame to physical values': () => plane(path),
  ...(existsSync(packed)
    ? {
        'Rice to physical values': () => plane(packed),
        'funpack to nowhere': () =>
          void spawnSync('funpack', ['-S', packed], { stdio: ['ignore', 'ignore', 'ignore'] }),
        'funpack --version (start of the process)': () => void spawnSync('funpack', ['-V']),
      }
    : {}),
};
const times = new Map<string, number[]>(Object.keys(contestants).map((name) => [name, []]));
for (let turn = 0; turn < TURNS; turn++) {
  for (const [name, run] of Object.entries(contestants)) {
    const start = performance.now();
    run();
    times.get(name)!.push(performance.now() - start);
  }
}
for (const [name, list] of times) {
  const sorted = list.sort((a, b) => a - b);
  console.log(
    `${name.padEnd(42)} ${medianSorted(sorted).toFixed(1).padStart(8)} ms (${sorted[0]!.toFixed(1)} to ${sorted.at(-1)!.toFixed(1)})`,
  );
}
if (!existsSync(packed)) console.log('no fpack here: tile compression is not timed');
