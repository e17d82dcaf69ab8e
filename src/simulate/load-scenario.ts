import { readFile } from 'node:fs/promises';
import { resolve } from 'node:path';
import { parse as parseYaml } from 'yaml';
import type { z } from 'zod';
import { UsageError } from '../errors.js';
import { scenarioSchema } from './scenario.js';
import type { Scenario } from './scenario.js';
import { builtInScenarios } from './built-in-scenarios.js';

/**
 * The scenario of a built-in name or of a YAML or JSON file, every default filled in.
 * `folder`: where a relative path starts. Throws UsageError naming what is wrong with the document, key by key.
 */
export async function loadScenario(nameOrPath: string, folder: string): Promise<Scenario> {
  const builtIn = builtInScenarios.find(({ name }) => name === nameOrPath);
  if (builtIn) return parseScenario(builtIn, nameOrPath);
  let text: string;
  try {
    text = await readFile(resolve(folder, nameOrPath), 'utf8');
  } catch (error) {
    const names = builtInScenarios.map(({ name }) => name).join(', ');
    const why =
      (error as NodeJS.ErrnoException).code === 'ENOENT' ? 'no such file' : (error as Error).message;
    throw new UsageError(
      `'${nameOrPath}' is neither a built-in scenario nor a readable file (${why})`,
      `Give a YAML or JSON file, or one of: ${names}, rig-year.`,
      nameOrPath,
    );
  }
  let document: unknown;
  try {
    // JSON is YAML too.
    document = parseYaml(text);
  } catch (error) {
    throw new UsageError(
      `${nameOrPath} is not valid YAML: ${(error as Error).message.split('\n')[0]}`,
      'Correct the file; indentation by spaces, no tabs.',
      nameOrPath,
    );
  }
  return parseScenario(document, nameOrPath);
}

/** Check a scenario document and fill in the defaults; `source` names it in the error. */
export function parseScenario(document: unknown, source: string): Scenario {
  const result = scenarioSchema.safeParse(document);
  if (result.success) return result.data;
  throw new UsageError(
    `${source} is no valid scenario: ${result.error.issues.map(describeIssue).join('; ')}`,
    'Correct these entries; `starassay simulate --list` shows the built-in scenarios.',
    source,
  );
}

function describeIssue(issue: z.core.$ZodIssue): string {
  const where = issue.path.map(String).join('.') || 'the document';
  if (issue.code === 'unrecognized_keys')
    return `unknown key ${issue.keys.map((k) => `'${k}'`).join(', ')} in ${where}`;
  return `${where}: ${issue.message}`;
}
