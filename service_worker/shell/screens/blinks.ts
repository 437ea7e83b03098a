/** Counting flashes by tapping along: a place as large as the screen allows, groups as they come, and corrections by hand. */
import { html, nothing, type TemplateResult } from "lit-html";
import { groupsText, roundsAgree, roundsOf } from "./blink_groups";
import type { Stage } from "./screen";

const MOST_IN_GROUP = 30;
const MOST_GROUPS = 6;

export function blinksBody(stage: Stage, onDone: (groups: number[]) => void, onCancel: () => void): TemplateResult {
  const taps = stage.local<number[]>("code taps", []);
  const byHand = stage.typed<number[] | null>("code groups", null);
  const rounds = roundsOf(taps.value);
  const groups = byHand.value ?? rounds[0] ?? [];
  const tap = (event: Event): void => {
    if (byHand.value) return;
    taps.value = [...taps.value, event.timeStamp];
  };
  const change = (index: number, by: number): void => {
    const next = [...groups];
    next[index] = Math.min(MOST_IN_GROUP, (next[index] ?? 0) + by);
    byHand.value = next.filter((count) => count > 0);
  };
  const again = (): void => {
    taps.value = [];
    byHand.value = null;
  };
  return html`<h1 tabindex="-1">Tap with each blink</h1>
    <p class="soft">Wait for the long pause, then begin. Two rounds show whether they are the same.</p>
    <button class="blink" type="button" data-blink ?disabled=${byHand.value !== null} @pointerdown=${tap} @click=${(event: MouseEvent) => (event.detail === 0 ? tap(event) : undefined)}>
      <span class="blink-count number" data-groups=${groupsText(groups)}>${groups.length > 0 ? groups.join(" – ") : "tap here"}</span>
      <span class="blink-word">${roundWords(rounds, byHand.value !== null)}</span>
    </button>
    ${groups.length > 0 ? html`<fieldset class="groups"><legend>Put right by hand</legend>
      ${groups.map((count, i) => html`<div class="stepper"><span>${groups.length > 1 ? `Group ${i + 1}` : "Flashes"}</span>
        <button class="button" type="button" aria-label=${`− one flash in group ${i + 1}`} @click=${() => change(i, -1)}>−</button><strong class="stepper-count">${count}</strong>
        <button class="button" type="button" aria-label=${`+ one flash in group ${i + 1}`} @click=${() => change(i, 1)}>+</button></div>`)}
      ${groups.length < MOST_GROUPS ? html`<button class="button quiet" type="button" data-add-group @click=${() => change(groups.length, 1)}>One group more</button>` : nothing}
    </fieldset>` : html`<button class="button wide quiet" type="button" data-by-hand @click=${() => (byHand.value = [1])}>Counted already: set it by hand</button>`}
    <div class="dock" data-stick>${groups.length > 0 ? html`<button class="button wide tall" type="button" data-lamp data-blinks-done @click=${() => onDone(groups)}>It is ${groups.join(" – ")}</button>` : nothing}
      <div class="pair"><button class="button" type="button" @click=${again} ?disabled=${groups.length === 0}>Count again</button><button class="button" type="button" @click=${onCancel}>Something else</button></div></div>`;
}

function roundWords(rounds: readonly number[][], byHand: boolean): string {
  if (byHand) return "set by hand";
  const agree = roundsAgree(rounds);
  if (agree === null) return rounds.length === 0 ? "" : "a short pause begins another group";
  return agree ? `${rounds.length} rounds, the same` : `rounds differ: ${rounds.map((round) => round.join("–")).join(", ")}. Count again, or put right`;
}
