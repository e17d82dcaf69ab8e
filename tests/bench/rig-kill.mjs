// Fifty commands killed (SIGKILL) at random moments while they record: no stored night may be lost or halved.
// Run: npm run build && node tests/bench/rig-kill.mjs
import { setTimeout } from 'node:timers';
import { spawn } from 'node:child_process';
import { cpSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const built = process.env.STARASSAY_BUILT ?? fileURLToPath(new URL('../../dist/src/', import.meta.url));
const { checkStore, openStore } = await import(join(built, 'rig/index.js'));
const folder = mkdtempSync(join(tmpdir(), 'starassay-rig-kill-'));
const db = join(folder, 'rigs.sqlite');
// The child finds the built code beside itself.
const child = join(built, '../rig-kill-child.mjs');
cpSync(fileURLToPath(new URL('../rig/child.mjs', import.meta.url)), child);

const said = new Set();
let day = Date.parse('2020-01-01T00:00:00Z');
let [unfinished, beforeFirst] = [0, 0];
for (let round = 0; round < 50; round++) {
  const first = new Date(day).toISOString().slice(0, 10);
  const lines = await killed([child, db, first, '300', '300'], 100 + Math.random() * 1200);
  for (const line of lines) said.add(line.replace('stored ', ''));
  if (lines.length === 0) beforeFirst++;
  const store = openStore(db);
  const check = checkStore(store);
  const nights = store.db
    .prepare('SELECT n.date, count(*) AS frames FROM night n JOIN frame f ON f.nightId = n.id GROUP BY n.id')
    .all();
  store.close();
  const dates = new Set(nights.map((night) => night.date));
  const lost = [...said].filter((date) => !dates.has(date));
  const halved = nights.filter((night) => night.frames !== 300);
  if (!check.sound || lost.length > 0 || halved.length > 0) {
    throw new Error(`round ${round}: ${JSON.stringify({ check, lost, halved })}`);
  }
  unfinished += dates.size - said.size;
  day += 300 * 86_400_000;
}
console.log(
  `50 commands killed (${beforeFirst} before their first night): ${said.size} nights said to be stored, all there and whole, file sound`,
);
console.log(`nights stored whose message was cut off by the kill (summed over the rounds): ${unfinished}`);
rmSync(folder, { recursive: true });
rmSync(child);

function killed(args, wait) {
  return new Promise((resolve, reject) => {
    const running = spawn(process.execPath, args);
    let text = '';
    running.stdout.on('data', (chunk) => (text += chunk));
    running.on('error', reject);
    running.on('close', () => resolve(text.split('\n').slice(0, -1)));
    setTimeout(() => running.kill('SIGKILL'), wait);
  });
}
