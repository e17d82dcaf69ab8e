import type { ErrorRecord } from '../errors.js';
import type { UnreadableFrame } from '../field/types.js';

/** The subs of a running night that could not be read, and when to say so. */
export interface UnreadableSubs {
  /** A sub could not be read: told after the patience, unless it can be by then. */
  readonly add: (file: string, error: ErrorRecord) => void;
  /** A sub could be read after all: it was still being written. */
  readonly clear: (file: string) => void;
  /** Tell at once what is still waiting to be told. */
  readonly flush: () => void;
  readonly list: () => readonly UnreadableFrame[];
}

/**
 * Keeps back word of a sub that cannot be read for a while: a file that comes over a slow link pauses longer than it takes to call it
 * settled, and is whole a little later.
 *
 * @param tell called once for each sub that stayed unreadable for `patienceMs`
 */
export function unreadableSubs(tell: (frame: UnreadableFrame) => void, patienceMs: number): UnreadableSubs {
  const frames = new Map<string, UnreadableFrame>();
  const waiting = new Map<string, NodeJS.Timeout>();
  const told = (file: string): void => {
    const timer = waiting.get(file);
    if (timer === undefined) return;
    clearTimeout(timer);
    waiting.delete(file);
    tell(frames.get(file)!);
  };
  const clear = (file: string): void => {
    clearTimeout(waiting.get(file));
    waiting.delete(file);
    frames.delete(file);
  };
  return {
    add: (file, error) => {
      clear(file);
      frames.set(file, { file, error });
      waiting.set(
        file,
        setTimeout(() => told(file), patienceMs),
      );
    },
    clear,
    flush: () => [...waiting.keys()].forEach(told),
    list: () => [...frames.values()],
  };
}
