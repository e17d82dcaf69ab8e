import { InvalidArgumentError, type Command, type Option } from 'commander';
import { UsageError } from '../errors.js';
import { loadConfig, type ConfigSetting } from './config.js';
import type { CliContext } from './context.js';

/**
 * The options of a command with the configuration file under them: an option on the command line wins, then the working folder's
 * file, then the user's, then the default; what a file changes is told. Settings of other commands are passed over, so that one file serves them all;
 * so are those of `except`, whose name means something else to this command than to the one the setting is meant for.
 *
 * @throws UsageError naming file and setting when no command has such an option or the value is not one it takes
 */
export async function applyConfig<Flags>(
  command: Command,
  context: Pick<CliContext, 'cwd' | 'env' | 'note'>,
  except: readonly string[] = [],
): Promise<Flags> {
  const applied = new Map<string, string[]>();
  for (const [name, setting] of await loadConfig(context.cwd, context.env)) {
    const option = except.includes(name) ? undefined : optionNamed(command, name);
    if (option === undefined) {
      if (!isKnownElsewhere(command, name)) {
        throw new UsageError(
          `${setting.file}: no command has an option "${name}".`,
          `Mend the name or take the line out; \`starassay ${command.name()} --help\` lists the options.`,
          setting.file,
        );
      }
      continue;
    }
    const attribute = option.attributeName();
    const source = command.getOptionValueSource(attribute);
    if (source === undefined || source === 'default') {
      command.setOptionValueWithSource(attribute, valueFor(option, name, setting), 'config');
      applied.set(setting.file, [...(applied.get(setting.file) ?? []), `${name}: ${String(setting.value)}`]);
    }
  }
  for (const [file, settings] of applied) context.note(`settings of ${file}: ${settings.join(', ')}\n`);
  return command.opts() as Flags;
}

function optionNamed(command: Command, name: string): Option | undefined {
  return command.options.find((option) => option.long === `--${name}` || option.long === `--no-${name}`);
}

function isKnownElsewhere(command: Command, name: string): boolean {
  let top = command;
  while (top.parent) top = top.parent;
  const below = (from: Command): boolean =>
    optionNamed(from, name) !== undefined || from.commands.some(below);
  return below(top);
}

function valueFor(option: Option, name: string, { value, file }: ConfigSetting): unknown {
  const wrong = (why: string): UsageError =>
    new UsageError(
      `${file}: ${name}: ${String(value)}: ${why}`,
      'Write what the option of that name takes.',
      file,
    );
  if (option.isBoolean() || option.negate) {
    if (typeof value !== 'boolean') throw wrong('it must be true or false.');
    return value;
  }
  const text = String(value);
  if (option.argChoices && !option.argChoices.includes(text))
    throw wrong(`it must be one of ${option.argChoices.join(', ')}.`);
  if (!option.parseArg) return text;
  try {
    return option.parseArg(text, undefined);
  } catch (error) {
    if (error instanceof InvalidArgumentError) throw wrong(error.message);
    throw error;
  }
}
