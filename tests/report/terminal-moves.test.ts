import { describe, expect, it } from 'vitest';
import { movesText, undoText } from '../../src/report/terminal-moves.js';

const move = (file: string, problem: string | null = null) => ({
  file,
  from: `/n/${file}`,
  to: `/r/${file}`,
  bytes: 1,
  problem,
});

describe('movesText', () => {
  it('shows what would move and how to do it', () => {
    const text = movesText({ folder: '/r', moves: [move('a.fits'), move('b.fits', 'it is a link')] }, null);
    expect(text).toMatch(/Would move 1 file to \/r:\n {2}a\.fits\n/);
    expect(text).toContain('b.fits: it is a link');
    expect(text).toContain('--yes');
  });

  it('says what was moved and how to get it back', () => {
    const plan = { folder: '/r', moves: [move('a.fits')] };
    const text = movesText(plan, { folder: '/r', moved: plan.moves, refused: [] });
    expect(text).toMatch(/^Moved 1 file/);
    expect(text).toContain('--undo instead of --yes');
  });

  it('says that there is nothing to move, and shows hostile names harmlessly', () => {
    expect(movesText({ folder: '/r', moves: [] }, null)).toContain('nothing to move');
    expect(movesText({ folder: '/r', moves: [move('\u001b[2J')] }, null)).not.toContain('\u001b');
  });
});

describe('undoText', () => {
  const back = { from: '/r/a', to: '/n/a', problem: null };
  it('says what came back and what stays, with the reason', () => {
    expect(undoText({ folder: '/r', back: [back], refused: [{ ...back, problem: 'taken' }] })).toMatch(
      /Brought back 1 file[\s\S]*1 file stays[\s\S]*taken/,
    );
    expect(undoText({ folder: '/r', back: [], refused: [] })).toContain('back already');
  });
});
