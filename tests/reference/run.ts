/*
 * Recomputes every recorded reference value with the independent library it came from and says what differs: `npm run reference`.
 * Needs Debian's python3-astropy, python3-sep, python3-scipy, libcfitsio-bin (fpack, funpack) and fitsverify; what is absent is named and its steps are
 * left out. Ends with 1 when anything differs. `npm run reference -- WORD` runs the steps whose names hold the word.
 */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const PYTHON = '/usr/bin/python3';
const root = fileURLToPath(new URL('../../', import.meta.url));
const sharedData = fileURLToPath(new URL('../../../shared/reference/', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'starassay-reference-'));

interface Outcome {
  readonly ok: boolean;
  readonly text: string;
}
interface Step {
  readonly name: string;
  /** Python modules, programs and data that it can't do without. */
  readonly needs: readonly string[];
  readonly run: () => Outcome;
}

function call(program: string, args: readonly string[]): Outcome & { readonly stdout: string } {
  const { status, stdout, stderr } = spawnSync(program, args, {
    cwd: root,
    encoding: 'utf8',
    maxBuffer: 2 ** 28,
  });
  const said = `${stdout}\n${status === 0 ? '' : stderr}`.trim().split('\n');
  return { ok: status === 0, text: said.slice(-12).join('\n'), stdout };
}
const python = (script: string, ...args: readonly string[]): ReturnType<typeof call> =>
  call(PYTHON, [`tests/reference/${script}`, ...args]);
const tsx = (...args: readonly string[]): ReturnType<typeof call> => call('npx', ['tsx', ...args]);

/** Last digits differ between versions of the libraries and processors. */
const RELATIVE_TOLERANCE = 1e-6;
/** Who made a record; not part of what is compared. */
const provenance = new Set(['astropy', 'sep', 'source', 'library', 'made_by']);

/** Paths at which two documents differ. */
function differences(recorded: unknown, fresh: unknown, path = ''): string[] {
  if (typeof recorded === 'number' && typeof fresh === 'number') {
    const slack = RELATIVE_TOLERANCE * Math.max(Math.abs(recorded), Math.abs(fresh), 1e-3);
    return Math.abs(recorded - fresh) <= slack ? [] : [`${path}: ${recorded} recorded, ${fresh} now`];
  }
  if (recorded && fresh && typeof recorded === 'object' && typeof fresh === 'object') {
    const keys = new Set([...Object.keys(recorded), ...Object.keys(fresh)]);
    return [...keys]
      .filter((key) => !provenance.has(key))
      .flatMap((key) =>
        differences(
          (recorded as Record<string, unknown>)[key],
          (fresh as Record<string, unknown>)[key],
          `${path}/${key}`,
        ),
      );
  }
  return recorded === fresh
    ? []
    : [`${path}: ${JSON.stringify(recorded)} recorded, ${JSON.stringify(fresh)} now`];
}

function compareJson(recordedFile: string, fresh: string): Outcome {
  const found = differences(JSON.parse(readFileSync(join(root, recordedFile), 'utf8')), JSON.parse(fresh));
  if (found.length === 0) return { ok: true, text: 'as recorded' };
  return {
    ok: false,
    text: `${found.length} values differ from ${recordedFile}\n${found.slice(0, 8).join('\n')}`,
  };
}

const steps: readonly Step[] = [
  {
    name: 'FITS files made anew from their numbers (astropy, fpack)',
    needs: ['astropy', 'fpack'],
    run: () => {
      const made = python('fits/make-files.py', join(folder, 'fits'));
      if (!made.ok) return made;
      return compareJson(
        'tests/fixtures/fits/made-from.json',
        readFileSync(join(folder, 'fits/made-from.json'), 'utf8'),
      );
    },
  },
  {
    name: 'FITS images and cards as astropy and funpack read them',
    needs: ['astropy', 'funpack'],
    run: () => python('fits/record.py', '--check'),
  },
  {
    name: 'frames that simulate writes (fitsverify)',
    needs: ['fitsverify'],
    run: () => tsx('tests/reference/fits/verify-written.ts'),
  },
  {
    name: 'stars of real frames (SEP, astropy)',
    needs: ['astropy', 'sep', sharedData],
    run: () => {
      const target = join(folder, 'stars-sep.json');
      const made = python('stars-sep.py', target);
      return made.ok ? compareJson('tests/reference/stars-sep.json', readFileSync(target, 'utf8')) : made;
    },
  },
  {
    name: 'half-flux diameters of Gaussian and of real stars (SEP)',
    needs: ['astropy', 'sep', 'scipy', sharedData],
    run: () => {
      const target = join(folder, 'stars-half-flux.json');
      const made = python('stars-half-flux.py', target);
      return made.ok
        ? compareJson('tests/reference/stars-half-flux.json', readFileSync(target, 'utf8'))
        : made;
    },
  },
  {
    name: 'a star list read back (astropy)',
    needs: ['astropy'],
    run: () => {
      const list = join(folder, 'stars.ecsv');
      const frame = 'sample-frames/heron-field_L_120s_001.fits';
      const measured = tsx('src/cli/main.ts', 'measure', frame, '--stars', list);
      return measured.ok ? python('star-list.py', list) : measured;
    },
  },
  {
    name: 'rank statistics (scipy)',
    needs: ['scipy'],
    run: () => {
      const made = python('stats-scipy.py');
      return made.ok ? compareJson('tests/reference/stats-scipy.json', made.stdout) : made;
    },
  },
  {
    name: 'sun, moon and altitudes (astropy)',
    needs: ['astropy'],
    run: () => {
      const made = python('optics-sky.py');
      return made.ok ? compareJson('tests/reference/optics-sky.json', made.stdout) : made;
    },
  },
  {
    name: 'our own values against all records',
    needs: [],
    run: () => call('npx', ['vitest', 'run', 'tests/reference']),
  },
];

function isHere(need: string): boolean {
  if (need.includes('/')) return existsSync(need);
  if (['fpack', 'funpack', 'fitsverify'].includes(need)) return spawnSync(need, ['-V']).error === undefined;
  return spawnSync(PYTHON, ['-c', `import ${need}`]).status === 0;
}

const word = process.argv[2] ?? '';
let failed = 0;
for (const { name, needs, run } of steps.filter((step) => step.name.includes(word))) {
  const absent = needs.filter((need) => !isHere(need));
  if (absent.length > 0) {
    console.log(`LEFT OUT  ${name}: ${absent.join(', ')} not here`);
    continue;
  }
  const { ok, text } = run();
  if (!ok) failed++;
  console.log(`${ok ? 'same     ' : 'DIFFERENT'} ${name}\n    ${text.replaceAll('\n', '\n    ')}`);
}
rmSync(folder, { recursive: true, force: true });
if (failed > 0) process.exitCode = 1;
