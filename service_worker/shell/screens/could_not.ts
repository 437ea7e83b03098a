/** Why a check could not be done: an answer too, and never the same as normal. */
import { html } from "lit-html";
import { answerButtons } from "../components/answers";
import type { Draft, JobView } from "../core_types";
import type { Check } from "../generated/trade";
import { COULD_NOT, couldNotWords } from "../words";
import { answerDraft } from "./drafts";
import { saveAnswer, type Asking } from "./question";
import type { Screen, Stage } from "./screen";

/** Reasons that put no question of the gate off. */
const NEVER_OF_THE_GATE = new Set(["not_fitted", "not_allowed"]);

/** "Could not" is an answer with a reason, and never the same as normal. */
export function reasonsScreen(stage: Stage, view: JobView, check: Check, asking: Asking, figures: readonly Draft[]): Screen {
  const me = stage.core.person.value?.id ?? "";
  const couldNot = (reason: string): void => {
    const drafts = [...figures, answerDraft(view, me, check.id, { could_not: reason })];
    void saveAnswer(stage, view, asking, drafts, `${check.title}: ${couldNotWords(reason).toLowerCase()}`);
  };
  const back = (): void => void (stage.local(`could-not ${check.id}`, false).value = false);
  return {
    back,
    title: `Could not check: ${check.title}`,
    key: `could-not ${check.id}`,
    body: html`<p class="above">${check.question}</p>
      <h1 tabindex="-1" data-check=${check.id}>Could not check it. Why?</h1>
      <section class="dock" aria-label="Reasons">
        ${answerButtons(COULD_NOT.filter(([id]) => !NEVER_OF_THE_GATE.has(id) || !view.procedure?.gate.includes(check.id)).map(([id, words]) => ({ id, words })), couldNot, stage.busy.value)}
        <button class="button wide quiet" type="button" @click=${back}>Back to the answers</button>
      </section>`,
  };
}
