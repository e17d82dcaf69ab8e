// Three years of 150 nights of 300 subs in one history: how long status, trend and recording take, and how large the file is.
// Run: npm run build && node tests/bench/rig-scale.mjs
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { performance } from 'node:perf_hooks';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const built = process.env.STARASSAY_BUILT ?? fileURLToPath(new URL('../../dist/src/', import.meta.url));
const { simulateRigYear } = await import(join(built, 'simulate/index.js'));
const { openStore, recordNight, addNote, findRig } = await import(join(built, 'rig/index.js'));
const { parseSimulatedYear } = await import(join(built, 'rig/documents/index.js'));
const main = join(built, 'cli/main.js');
const folder = mkdtempSync(join(tmpdir(), 'starassay-rig-scale-'));
const db = join(folder, 'rigs.sqlite');
const [nights, frames] = [Number(process.argv[2] ?? 450), Number(process.argv[3] ?? 300)];

const { events, ...simulated } = simulateRigYear({
  seed: 1,
  days: Math.ceil(nights / 0.32),
  framesPerNight: frames,
});
const year = parseSimulatedYear(
  JSON.stringify({ ...simulated, events, nights: simulated.nights.slice(0, nights) }),
  'year',
);
const store = openStore(db);
const times = [];
for (const night of year.nights) {
  const start = performance.now();
  recordNight(store, night);
  times.push(performance.now() - start);
}
for (const note of year.notes) addNote(store, findRig(store).id, note);
store.close();
const sorted = [...times].sort((a, b) => a - b);
const megabytes = statSync(db).size / 1e6;

const ofCommand = (...args) => {
  const runs = Array.from({ length: 5 }, () => {
    const start = performance.now();
    // The shell's own account of its children tells processor time, which a busy machine does not stretch.
    const result = spawnSync(
      '/bin/sh',
      ['-c', '"$@" >/dev/null || exit 1; times', 'sh', process.execPath, main, 'rig', ...args, '--db', db],
      {
        encoding: 'utf8',
      },
    );
    if (result.status !== 0) throw new Error(result.stderr);
    return { wall: performance.now() - start, cpu: childMilliseconds(result.stdout) };
  });
  const middle = (figure) => Math.round(runs.map(figure).sort((a, b) => a - b)[2]);
  return `${middle((run) => run.wall)} ms, of which processor ${middle((run) => run.cpu)} ms`;
};
function childMilliseconds(times) {
  const children = times.trim().split('\n').at(-1);
  return [...children.matchAll(/(\d+)m([\d.]+)s/g)].reduce((sum, [, m, s]) => sum + 60_000 * m + 1000 * s, 0);
}
const document = join(folder, 'night.json');
writeFileSync(document, JSON.stringify({ schema: 'starassay/night@1', ...year.nights[0] }));
const subs = year.nights.reduce((sum, night) => sum + night.frames.length, 0);
console.log(`${year.nights.length} nights, ${subs} subs, file ${megabytes.toFixed(1)} MB (limit 200)`);
console.log(
  `recordNight: median ${sorted[sorted.length >> 1].toFixed(0)} ms, longest ${sorted.at(-1).toFixed(0)} ms (limit 500)`,
);
console.log(`rig record (whole command, known night): ${ofCommand('record', document)} (limit 500)`);
console.log(`rig status (whole command): ${ofCommand('status')} (limit 300)`);
console.log(`rig trend (whole command): ${ofCommand('trend')} (limit 1000)`);
console.log(`rig trend --report: ${ofCommand('trend', '--report', join(folder, 'rig.html'))}`);
console.log(`rig compare --note 1: ${ofCommand('compare', '--note', '1')}`);
console.log(`rig check: ${ofCommand('check')}`);
rmSync(folder, { recursive: true });
