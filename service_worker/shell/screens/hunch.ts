/** A hunch, noted before looking: by the part of the heater, in an order that suggests nothing. */
import { html, type TemplateResult } from "lit-html";
import { answerButtons } from "../components/answers";
import { savedStrip } from "../components/strips";
import type { JobView } from "../core_types";
import type { Cause } from "../generated/trade";
import { jobHref } from "../router";
import { plainName } from "../words";
import { replacing } from "./drafts";
import { causeWords } from "./record_read";
import type { Screen, Stage } from "./screen";

/** Families of causes, as the procedures name them. */
export const FAMILY_WORDS: { [family: string]: string } = {
  air: "Air and draft", cutoffs: "Cut-offs", flame: "Igniter and flame", limit: "Limit and heat", millivolts: "Millivolt circuit", power: "Power and control", switch: "Sensing tube and switch", vent: "Vent and terminal",
};
const OTHERS = "Anything else";

export function hunchScreen(stage: Stage, view: JobView): Screen {
  const note = async (cause: string): Promise<void> => {
    const mine = view.record.hunches.filter((one) => one.by.person_id === stage.core.person.value?.id);
    const words = `hunch: ${causeWords(view.procedure, cause)}`;
    if (await stage.act(view, [{ kind: "hunch", body: { cause }, ...replacing(mine.map((one) => one.by.event_id)) }], words)) stage.go(jobHref(view.card.job_id, "walk"));
  };
  return {
    title: "A hunch", key: "hunch",
    body: html`${savedStrip(stage, view)}<h1 tabindex="-1">Your hunch, before you look</h1>
      <p class="soft">It changes nothing in the walk. It is kept beside what is found.</p>
      <section class="families" aria-label="Answers, by the part">${byFamily(view.procedure?.causes ?? []).map(([words, causes]) => family(words, causes, (id) => void note(id), stage.busy.value))}</section>`,
  };
}

/** One open at a time, so that the next is never far. */
function family(words: string, causes: readonly Cause[], onTap: (id: string) => void, busy: boolean): TemplateResult {
  return html`<details class="family" name="family"><summary><span>${words}</span> <span class="soft">${causes.length}</span></summary>${answerButtons(causes, onTap, busy)}</details>`;
}

/** By name, the causes too; those that stand alone in their family share the last one. */
function byFamily(causes: readonly Cause[]): [words: string, causes: Cause[]][] {
  const families = new Map<string, Cause[]>();
  for (const cause of [...causes].sort((a, b) => (a.words < b.words ? -1 : 1))) families.set(cause.family, [...(families.get(cause.family) ?? []), cause]);
  const several = [...families].filter(([, ours]) => ours.length > 1).map(([id, ours]): [string, Cause[]] => [FAMILY_WORDS[id] ?? plainName(id), ours]);
  const single = [...families.values()].filter((ours) => ours.length === 1).flat();
  return [...several.sort(([a], [b]) => (a < b ? -1 : 1)), ...(single.length > 0 ? [[OTHERS, single] as [string, Cause[]]] : [])];
}
