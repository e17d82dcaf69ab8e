// How surely lasting changes are found in a rig's history, and how often there is a false alarm.
// Run: npm run build && node tests/bench/rig-steps.mjs
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const built = process.env.STARASSAY_BUILT ?? fileURLToPath(new URL('../../dist/src/', import.meta.url));
const { findSteps } = await import(join(built, 'stats/index.js'));
const { makeRandom } = await import(join(built, 'simulate/random.js'));
const { simulateRigYear } = await import(join(built, 'simulate/index.js'));
const { openStore, recordNight, rigTrends, findRig, metrics } = await import(join(built, 'rig/index.js'));
const { parseSimulatedYear } = await import(join(built, 'rig/documents/index.js'));

const days = (count) => Array.from({ length: count }, (_, i) => i);
const noise = (seed, count, shape = (random) => random.normal()) => {
  const random = makeRandom(seed, 'rig-steps');
  return Array.from({ length: count }, () => shape(random));
};
const student3 = (r) => r.normal() / Math.sqrt((r.normal() ** 2 + r.normal() ** 2 + r.normal() ** 2) / 3);

const kinds = [
  ['normal', (seed) => noise(seed, 300)],
  ['log-normal, sigma 0.4', (seed) => noise(seed, 300).map((v) => Math.exp(0.4 * v))],
  ['Student t, 3 degrees', (seed) => noise(seed, 300, student3)],
  ['like its neighbours, rho 0.4', (seed) => ((p) => noise(seed, 300).map((v) => (p = 0.4 * p + v)))(0)],
  ['steady drift of 3 sigma', (seed) => noise(seed, 300).map((v, i) => v + i / 100)],
];
for (const [name, make] of kinds) {
  let alarms = 0;
  for (let seed = 0; seed < 400; seed++) alarms += findSteps(days(300), make(seed)).steps.length;
  console.log(`false alarms in two years (300 nights), ${name}: ${(alarms / 400).toFixed(3)}`);
}
for (const size of [1, 1.5, 2, 3]) {
  const [misses, delays] = [[], []];
  let found = 0;
  for (let seed = 0; seed < 400; seed++) {
    const at = 40 + (seed % 70);
    const y = noise(1000 + seed, 150).map((v, i) => v + (i >= at ? size : 0));
    const near = findSteps(days(150), y).steps.filter((step) => Math.abs(step.index - at) <= 4);
    if (near.length > 0) found++;
    else misses.push(seed);
    if (seed % 4 > 0) continue;
    let nights = 4;
    while (
      nights < 60 &&
      !findSteps(days(at + nights), y.slice(0, at + nights)).steps.some((s) => Math.abs(s.index - at) <= 8)
    )
      nights++;
    delays.push(nights);
  }
  delays.sort((a, b) => a - b);
  console.log(
    `step of ${size} sigma in a year of 150 nights: placed within 4 nights in ${((100 * found) / 400).toFixed(1)} %; ` +
      `first seen after ${delays[delays.length >> 1]} nights (nine in ten within ${delays[Math.floor(0.9 * delays.length)]})`,
  );
}

// Whole histories: the tilt steps and the spacer of simulated years, and years in which nothing happens.
let [planted, seen, false1, years] = [0, 0, 0, 0];
for (let seed = 1; seed <= 20; seed++) {
  const simulated = simulateRigYear({ seed, framesPerNight: 12 });
  const trends = trendsOf(simulated);
  const changes = (metric) => trends.metrics.find((m) => m.metric === metric)?.changes ?? [];
  const dates = simulated.nights.map((night) => night.date);
  for (const event of simulated.events) {
    const metric = { 'tilt-step': 'tilt', spacer: 'curvature', 'guider-mended': 'guiding-ra' }[event.kind];
    if (!metric) continue;
    planted++;
    const first = dates.findIndex((date) => date >= event.date);
    if (changes(metric).some((change) => Math.abs(dates.indexOf(change.date) - first) <= 4)) seen++;
  }
  const quiet = trendsOf(simulateRigYear({ seed: 500 + seed, framesPerNight: 12, events: [] }));
  const own = metrics.filter((m) => m.subject !== 'sky' && m.subject !== 'all').map((m) => m.code);
  for (const metric of quiet.metrics) if (own.includes(metric.metric)) false1 += metric.changes.length;
  years += quiet.metrics[0].points.length / 150;
}
console.log(`20 simulated years: ${seen} of ${planted} planted changes found within 4 nights`);
console.log(
  `20 simulated years in which nothing happens (${(years / 2).toFixed(1)} x 300 nights): ${false1} false alarms over all of the rig's own figures together`,
);

function trendsOf(simulated) {
  const store = openStore(':memory:');
  for (const night of parseSimulatedYear(JSON.stringify(simulated), 'year').nights) recordNight(store, night);
  const trends = rigTrends(store, findRig(store));
  store.close();
  return trends;
}
