import type { Decision } from './decide.js';
import type { DecisionReason } from './types.js';

/**
 * Keeps only the best part of a group by weight, beside the other limits: frames of lower rank are rejected with the weight of the last one kept
 * as limit. At least one frame stays; frames without a weight rank last.
 *
 * @param share 0..1 of the group's frames.
 */
export function keepBestShare(
  decisions: readonly Decision[],
  weights: readonly (number | null)[],
  share: number,
): Decision[] {
  const order = [...weights.keys()].sort((a, b) => (weights[b] ?? -1) - (weights[a] ?? -1) || a - b);
  const count = Math.max(1, Math.round(share * weights.length));
  const lastKept = weights[order[count - 1] ?? 0] ?? null;
  const below = new Set(order.slice(count));
  const percent = `${Number((share * 100).toPrecision(3))} %`;
  return decisions.map((decision, i) => {
    if (!below.has(i)) return decision;
    const value = weights[i] ?? null;
    const reason: DecisionReason = {
      code: 'keep-best',
      message:
        value === null
          ? `not among the best ${percent}: its weight could not be measured`
          : `not among the best ${percent}: weight ${value.toFixed(2)}` +
            (lastKept === null ? '' : `, the last one kept has ${lastKept.toFixed(2)}`),
      value,
      limit: lastKept,
    };
    return {
      decision: 'reject',
      reasons: decision.decision === 'reject' ? [...decision.reasons, reason] : [reason],
    };
  });
}
