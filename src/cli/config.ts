import { readFileSync } from 'node:fs';
import { UsageError } from '../errors.js';
import { configFiles } from './config-files.js';

/** What moves files is said each time anew: a file that lies in a folder of strangers' frames must not say it. */
const commandLineOnly = ['yes', 'undo'];

/** A setting of a configuration file: the value as written, and the file that it stands in. */
export interface ConfigSetting {
  readonly value: string | number | boolean;
  readonly file: string;
}

/** Settings by option name without dashes in front, e.g. `max-elongation`. */
export type Config = ReadonlyMap<string, ConfigSetting>;

/**
 * Reads the settings that hold unless an option says otherwise: `starassay.yaml` (or `.yml`, `.json`) of the user's configuration folder, and over it that
 * of the working folder. Keys are the names of the options (`max-elongation: 1.2`, `keep-best: 80%`, `cache: false`).
 *
 * The user's folder is the system's usual one; the variable STARASSAY_CONFIG_DIR names another. No file: no settings.
 *
 * @throws UsageError naming the file when it cannot be read, is not YAML or JSON, is anything but names with plain values, or says `yes` or `undo`.
 */
export async function loadConfig(
  cwd: string,
  env: Readonly<Record<string, string | undefined>>,
): Promise<Config> {
  const config = new Map<string, ConfigSetting>();
  for (const file of configFiles(cwd, env)) {
    for (const [key, value] of Object.entries(await readSettings(file))) config.set(key, { value, file });
  }
  return config;
}

async function readSettings(file: string): Promise<Record<string, ConfigSetting['value']>> {
  // Mostly there is no file, and nothing to load for it.
  const [{ parse }, { z }] = await Promise.all([import('yaml'), import('zod')]);
  const configShape = z.record(z.string(), z.union([z.string(), z.number(), z.boolean()]));
  let content: unknown;
  try {
    // JSON is a subset of YAML; the alias limit of the parser guards against nested bombs.
    content = parse(readFileSync(file, 'utf8')) ?? {};
  } catch (error) {
    throw new UsageError(
      `${file}: not readable as YAML or JSON: ${(error as Error).message.trim()}`,
      'One setting a line: the name of an option, a colon, a value.',
      file,
    );
  }
  const checked = configShape.safeParse(content);
  if (!checked.success) {
    const issue = checked.error.issues[0];
    const where = issue && issue.path.length > 0 ? `"${issue.path.join('.')}"` : 'the content';
    throw new UsageError(
      `${file}: ${where} is not a plain value.`,
      'One setting a line: the name of an option without dashes, a colon, and a number, a word, or true or false.',
      file,
    );
  }
  const forbidden = commandLineOnly.find((name) => name in checked.data);
  if (forbidden !== undefined) {
    throw new UsageError(
      `${file}: "${forbidden}" can only be given on the command line.`,
      'Take the line out.',
      file,
    );
  }
  return checked.data;
}
