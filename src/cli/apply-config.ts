import { InvalidArgumentError, type Command, type Option } from 'commander';
import { UsageError } from '../errors.js';
import { loadConfig, type ConfigSetting } from './config.js';
import type { CliContext } from './context.js';

/** Options that act on files: a file lying in a folder must not give them. */
const commandLineOnly: ReadonlySet<string> = new Set([
  'yes',
  'undo',
  'move-rejects',
  'save',
  'help',
  'version',
]);

/**
 * The options of a command with the settings of the configuration files under them: command line over working folder over user's folder over default.
 * A setting goes through the same parser as the option; settings of other commands are passed over.
 *
 * @throws UsageError naming file and setting when no command has such an option, its value is wrong, or it belongs on the command line.
 */
export function applyConfig<Flags>(command: Command, context: Pick<CliContext, 'cwd' | 'env'>): Flags {
  const config = loadConfig(context.cwd, context.env);
  const own = new Map(command.options.map((option) => [settingName(option), option]));
  const known = new Set(allCommands(command).flatMap((other) => other.options.map(settingName)));
  for (const [name, setting] of config) {
    if (commandLineOnly.has(name)) {
      throw new UsageError(
        `${setting.file}: "${name}" can only be given on the command line.`,
        'Remove it.',
        setting.file,
      );
    }
    if (!known.has(name)) {
      throw new UsageError(
        `${setting.file}: there is no setting "${name}".${closest(name, known)}`,
        'Settings are named like the options, without the dashes in front; --help lists them.',
        setting.file,
      );
    }
    const option = own.get(name);
    if (!option) continue;
    const key = option.attributeName();
    if (command.getOptionValueSource(key) === 'cli') continue;
    command.setOptionValueWithSource(key, settingValue(option, name, setting), 'config');
  }
  return command.opts<Flags & Record<string, unknown>>();
}

function settingName(option: Option): string {
  return option.name().replace(/^no-/, '');
}

function allCommands(command: Command): Command[] {
  let root = command;
  while (root.parent) root = root.parent;
  const below = (parent: Command): Command[] => [parent, ...parent.commands.flatMap(below)];
  return below(root);
}

function settingValue(option: Option, name: string, { value, file }: ConfigSetting): unknown {
  if (option.isBoolean() || option.negate) {
    if (typeof value === 'boolean') return value;
    throw new UsageError(
      `${file}: "${name}" is ${String(value)}, but wants true or false.`,
      'Correct it.',
      file,
    );
  }
  const text = String(value);
  if (option.argChoices && !option.argChoices.includes(text)) {
    throw new UsageError(
      `${file}: "${name}" is "${text}".`,
      `Choose from ${option.argChoices.join(', ')}.`,
      file,
    );
  }
  if (!option.parseArg) return text;
  try {
    return option.parseArg(text, undefined);
  } catch (error) {
    if (!(error instanceof InvalidArgumentError)) throw error;
    throw new UsageError(`${file}: "${name}" is "${text}". ${error.message}`, 'Correct it.', file);
  }
}

/** A name that differs by little, as a question. */
function closest(name: string, known: ReadonlySet<string>): string {
  const plain = (text: string): string => text.toLowerCase().replace(/[-_\s]/g, '');
  const match = [...known].find(
    (candidate) =>
      plain(candidate) === plain(name) ||
      (name.length > 3 && (plain(candidate).includes(plain(name)) || plain(name).includes(plain(candidate)))),
  );
  return match === undefined ? '' : ` Did you mean "${match}"?`;
}
