import type { MovePlan, MoveResult, UndoResult } from '../night/index.js';
import { count } from './numbers.js';
import { safeLine } from './sanitize.js';

/** What moving the rejects would do (`outcome` null) or did: every file, and every one that stays with its reason. Ends with a line feed. */
export function movesText(plan: MovePlan, outcome: MoveResult | null): string {
  const refused = outcome ? outcome.refused : plan.moves.filter((move) => move.problem !== null);
  const moved = outcome ? outcome.moved : plan.moves.filter((move) => move.problem === null);
  const lines: string[] = [];
  if (moved.length === 0 && refused.length === 0) lines.push('No frame is rejected: nothing to move.');
  if (moved.length > 0) {
    lines.push(
      `${outcome ? 'Moved' : 'Would move'} ${count(moved.length, 'file')} to ${safeLine(plan.folder)}:`,
    );
    lines.push(...moved.map((move) => `  ${safeLine(move.file)}`));
  }
  lines.push(...stayLines(refused.map((move) => ({ name: move.file, problem: move.problem }))));
  if (moved.length > 0) {
    lines.push(
      outcome
        ? 'The same command with --undo instead of --yes brings them back.'
        : 'Nothing has been moved yet: add --yes to do it; --undo brings the files back.',
    );
  }
  return `${lines.join('\n')}\n`;
}

/** What bringing moved files back did. Ends with a line feed. */
export function undoText(result: UndoResult): string {
  const lines: string[] = [];
  if (result.back.length === 0 && result.refused.length === 0)
    lines.push('All moved files are back already.');
  if (result.back.length > 0) {
    lines.push(`Brought back ${count(result.back.length, 'file')}:`);
    lines.push(...result.back.map((move) => `  ${safeLine(move.to)}`));
  }
  lines.push(...stayLines(result.refused.map((move) => ({ name: move.from, problem: move.problem }))));
  return `${lines.join('\n')}\n`;
}

function stayLines(files: readonly { readonly name: string; readonly problem: string | null }[]): string[] {
  if (files.length === 0) return [];
  return [
    `${count(files.length, 'file')} ${files.length === 1 ? 'stays' : 'stay'}:`,
    ...files.map(({ name, problem }) => `  ${safeLine(name)}: ${safeLine(problem ?? '')}`),
  ];
}
