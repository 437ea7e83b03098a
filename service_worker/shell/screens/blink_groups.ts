/** Makes groups of flashes from the times of taps. A thumb is no stopwatch: pauses are told apart by wide margins, and the hand corrects. */

/** A pause this long begins another group; one this long begins the code anew. Expert guesses: controls differ, which is why the groups can be corrected. */
export const GROUP_PAUSE_MS = 1_200;
export const ROUND_PAUSE_MS = 3_000;
/** Taps nearer than this are one shaking thumb (expert guess). */
const BOUNCE_MS = 90;

/** Rounds of groups: [[2, 4], [2, 4]] is the code 2-4 seen twice. */
export function roundsOf(tapsMs: readonly number[]): number[][] {
  const rounds: number[][] = [];
  let last = -Infinity;
  for (const at of tapsMs) {
    const pause = at - last;
    if (pause < BOUNCE_MS) continue;
    last = at;
    if (pause >= ROUND_PAUSE_MS) rounds.push([1]);
    else if (pause >= GROUP_PAUSE_MS) rounds.at(-1)!.push(1);
    else rounds.at(-1)![rounds.at(-1)!.length - 1]! += 1;
  }
  return rounds;
}

export function groupsText(groups: readonly number[]): string {
  return groups.join("-");
}

/** What the rounds say of one another; null while there is only one. The last may be unfinished: it agrees as far as it goes. */
export function roundsAgree(rounds: readonly (readonly number[])[]): boolean | null {
  const [first, ...others] = rounds;
  if (!first || others.length === 0) return null;
  return others.every((round, i) => (i === others.length - 1 ? isBeginning(round, first) : groupsText(round) === groupsText(first)));
}

function isBeginning(round: readonly number[], whole: readonly number[]): boolean {
  return round.length <= whole.length && round.every((count, i) => (i === round.length - 1 ? count <= whole[i]! : count === whole[i]));
}
