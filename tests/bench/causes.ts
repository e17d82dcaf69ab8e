/*
 * How well the causes are told: `npm run bench:causes [-- --seeds 5] [--only NAME] [--part 2/4] [--measure-only] [--fresh]`. Every scenario of
 * tests/bench/scenarios is simulated (truth beside it), measured and judged; prints a confusion table, false alarms, the reliability of
 * the confidences, and the errors of the fitted tilt. Measured frames are kept in the folder for temporary files (or `--store DIR`), by
 * scenario and seed, so that a long run may be measured part by part and judged at once; `--fresh` measures again (needed after a change
 * of simulation or measurement).
 */
import { createHash } from 'node:crypto';
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { concludeNight } from '../../src/assess-night.js';
import type { CauseFinding, NightAssessment } from '../../src/causes/types.js';
import { defaultFrameOptions } from '../../src/field/index.js';
import { defaultLimits, findLightFrames } from '../../src/night/index.js';
import { assessFrames, type AssessedFrames } from '../../src/pool/index.js';
import { loadScenario } from '../../src/simulate/load-scenario.js';
import type { NightTruth } from '../../src/simulate/truth-types.js';
import { writeNight } from '../../src/simulate/write-night.js';

const here = fileURLToPath(new URL('./scenarios', import.meta.url));
const option = (name: string): string | null => {
  const at = process.argv.indexOf(name);
  return at < 0 ? null : (process.argv[at + 1] ?? '');
};
const store = option('--store') ?? join(tmpdir(), 'starassay-bench-causes');
const seeds = Number(option('--seeds') ?? 1);
const [part, parts] = (option('--part') ?? '1/1').split('/').map(Number);
const only = option('--only');
const fresh = process.argv.includes('--fresh');
const measureOnly = process.argv.includes('--measure-only');

interface Measured {
  readonly truth: NightTruth;
  readonly measured: AssessedFrames;
}

interface Judged {
  readonly name: string;
  readonly truth: NightTruth;
  readonly night: NightAssessment;
}

async function measure(file: string, seed: number): Promise<Measured> {
  const text = readFileSync(join(here, file), 'utf8');
  const key = `${file.replace(/\.yaml$/, '')}-${seed}-${createHash('sha256').update(text).digest('hex').slice(0, 8)}`;
  const kept = join(store, `${key}.json`);
  if (!fresh && existsSync(kept)) return JSON.parse(readFileSync(kept, 'utf8')) as Measured;
  const scenario = await loadScenario(join(here, file), here);
  const folder = mkdtempSync(join(tmpdir(), 'starassay-night-'));
  try {
    const truth = await writeNight({ ...scenario, seed: scenario.seed + seed }, folder, { replace: true });
    const found = await findLightFrames([folder], folder);
    const measured = await assessFrames(found, {
      frame: defaultFrameOptions,
      threads: 0,
      signal: null,
      onProgress: null,
      memory: null,
    });
    mkdirSync(store, { recursive: true });
    writeFileSync(kept, JSON.stringify({ truth, measured }));
    return { truth, measured };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Causes that are true of the night but that a finding of another name may stand for are left to the table; this is strict. */
function trueCodes(truth: NightTruth): Set<string> {
  return new Set(truth.night.expectedCauses.map((cause) => cause.code));
}

/** What was found, in the order in which the night names it. */
function asNamed(findings: readonly CauseFinding[]): CauseFinding[] {
  return findings.filter((f) => f.answer === 'found');
}

function percent(part: number, whole: number): string {
  return whole === 0 ? '   -' : `${((100 * part) / whole).toFixed(0).padStart(3)} % (${part}/${whole})`;
}

const files = readdirSync(here)
  .filter((file) => file.endsWith('.yaml') && (only === null || file.includes(only)))
  .sort();
const nights: Judged[] = [];
for (let seed = 0; seed < seeds; seed++) {
  for (const file of files.filter((_, k) => (k + seed * files.length) % parts === part - 1)) {
    const { truth, measured } = await measure(file, seed);
    if (measureOnly) continue;
    const started = performance.now();
    const night = concludeNight(measured, defaultLimits);
    const elapsed = performance.now() - started;
    nights.push({ name: file.replace(/\.yaml$/, ''), truth, night });
    const findings = asNamed(night.night.causes).filter((f) => f.confidence >= 0.2);
    const expected = [...trueCodes(truth)];
    const right = expected.every((code) => findings.some((f) => f.code === code && f.confidence >= 0.5));
    const wrong = findings.filter((f) => f.confidence >= 0.5 && !expected.includes(f.code));
    console.log(
      `${right && wrong.length === 0 ? '   ' : right ? '+  ' : '-  '}${file.replace('.yaml', '').padEnd(27)} ${(expected.join(', ') || 'clean').padEnd(34)} -> ${
        findings.map((f) => `${f.code} ${f.confidence.toFixed(2)}`).join(', ') || 'nothing'
      }  [${elapsed.toFixed(0)} ms]`,
    );
  }
}
if (!measureOnly) {
  dominantTable();
  falseAlarms();
  reliability();
  tiltErrors();
  decisions();
}

function dominantTable(): void {
  console.log('\nDominant cause named first, and every planted cause found at 0.5 or more');
  for (const severity of ['mild', 'medium', 'strong']) {
    const list = nights.filter((n) => n.truth.severity === severity && n.truth.night.dominant !== null);
    const first = list.filter((n) => asNamed(n.night.night.causes)[0]?.code === n.truth.night.dominant);
    const found = list.filter((n) =>
      n.night.night.causes.some((f) => f.code === n.truth.night.dominant && f.confidence >= 0.5),
    );
    const every = list.filter((n) =>
      [...trueCodes(n.truth)].every((code) =>
        n.night.night.causes.some((f) => f.code === code && f.confidence >= 0.5),
      ),
    );
    console.log(
      `  ${severity.padEnd(7)} first ${percent(first.length, list.length)}  found ${percent(found.length, list.length)}  all found ${percent(every.length, list.length)}`,
    );
  }
  const spacing = nights.filter((n) => n.truth.night.spacing.errorMm !== 0 && n.truth.severity !== 'mild');
  const side = spacing.filter((n) => {
    const of = (code: string): number => n.night.night.causes.find((f) => f.code === code)?.confidence ?? 0;
    return n.truth.night.spacing.errorMm < 0
      ? of('spacing-short') > of('spacing-long')
      : of('spacing-long') > of('spacing-short');
  });
  console.log(`  sign of the spacing right, medium and strong: ${percent(side.length, spacing.length)}`);
}

function falseAlarms(): void {
  const clean = nights.filter((n) => n.truth.severity === 'clean');
  const alarmed = clean.filter((n) =>
    n.night.night.causes.some((f) => f.confidence >= 0.5 && !trueCodes(n.truth).has(f.code)),
  );
  console.log(`\nClean nights with a false alarm at 0.5 or more: ${percent(alarmed.length, clean.length)}`);
  for (const n of alarmed) console.log(`  ${n.name}`);
  const extra = new Map<string, number>();
  for (const n of nights)
    for (const f of n.night.night.causes)
      if (f.confidence >= 0.5 && !trueCodes(n.truth).has(f.code))
        extra.set(f.code, (extra.get(f.code) ?? 0) + 1);
  console.log('Found at 0.5 or more without being planted, all nights:');
  for (const [code, count] of [...extra].sort((a, b) => b[1] - a[1]))
    console.log(`  ${code.padEnd(18)} ${count}`);
}

function reliability(): void {
  console.log('\nReliability: statements at a confidence, and how many were true');
  const statements = nights.flatMap((n) =>
    n.night.night.causes
      .filter((f) => f.answer === 'found')
      .map((f) => ({ confidence: f.confidence, true: trueCodes(n.truth).has(f.code) })),
  );
  for (let low = 0; low < 1; low += 0.1) {
    const bin = statements.filter((s) => s.confidence >= low - 1e-9 && s.confidence < low + 0.1 - 1e-9);
    if (bin.length === 0) continue;
    console.log(
      `  ${low.toFixed(1)} to ${(low + 0.1).toFixed(1)}  ${percent(bin.filter((s) => s.true).length, bin.length)}`,
    );
  }
}

function tiltErrors(): void {
  const tilted = nights.filter(
    (n) => trueCodes(n.truth).has('sensor-tilt') && n.truth.severity !== 'mild' && n.night.optics.length > 0,
  );
  console.log('\nTilt, medium and strong: error of size (per cent) and of direction (degrees)');
  for (const n of tilted) {
    const [state] = n.night.optics;
    if (state.tilt === null) continue;
    const truth = n.truth.night.tilt;
    const off = Math.abs(((state.tilt.directionDeg - truth.directionDeg + 540) % 360) - 180);
    console.log(
      `  ${n.name.padEnd(27)} ${state.unit === 'micron' ? ((100 * state.tilt.span) / truth.spanMicron - 100).toFixed(1).padStart(6) : '     -'} %  ${off.toFixed(1).padStart(6)} deg${state.signsKnown ? '' : ' (sign open)'}  follows ${state.detail.tiltFollows.what}  explained ${(100 * state.explainedVariance).toFixed(0)} %`,
    );
  }
}

function decisions(): void {
  let agree = 0;
  let total = 0;
  const wrong: string[] = [];
  for (const n of nights) {
    for (const truth of n.truth.frames) {
      if (truth.expected.margin < 0.07) continue;
      const frame = n.night.frames.find((f) => f.file === truth.file);
      if (!frame) continue;
      total++;
      if (frame.decision === truth.expected.decision) agree++;
      else
        wrong.push(
          `${n.name}/${truth.file}: ${frame.decision} (${frame.reasons.map((r) => r.code).join(', ')}), truth ${truth.expected.decision} (${truth.expected.reasons.join(', ')})`,
        );
    }
  }
  console.log(`\nKeep or reject as the truth has it, 7 % away from the limits: ${percent(agree, total)}`);
  for (const line of wrong.slice(0, 20)) console.log(`  ${line}`);
}
