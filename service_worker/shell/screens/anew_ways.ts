/** The two ways to answer anew what was found unsafe, in plain words: on the Stop, and over the answers. */
import type { Signal } from "@preact/signals-core";
import { html, nothing, type TemplateResult } from "lit-html";
import type { JobView } from "../core_types";
import type { Check } from "../generated/trade";
import { jobHref } from "../router";
import { readingWords } from "../words";
import { liftedBox, liftedWays } from "./lifted";
import { choose, meanwhileOf, sayMeanwhile, unsafeWord, wayOf, type Way } from "./answered_anew";
import type { Stage } from "./screen";

const WAYS: [Way, string][] = [["looked", "Looked again: it is otherwise now"], ["wrong", "Wrong tap or wrong number: correct it"]];
const OF_GAS = new Set(["smell_of_gas", "low_smell", "gas_cleared", "gas_off"]);
const LINE_LENGTH = 200;

/** On the Stop; another person's is looked at again, never corrected. */
export function anewButtons(stage: Stage, view: JobView, check: string): TemplateResult {
  const by = unsafeWord(view, stage.core.person.value?.id ?? "", check);
  const href = jobHref(view.card.job_id, "check", check);
  const lifted = liftedWays(stage, view, check);
  if (lifted) return lifted;
  if (!by) return html`<a class="button wide quiet" href=${href}>It is safe now: look again, and answer</a>`;
  const go = (way: Way): void => {
    choose(by, way);
    stage.go(href);
  };
  const figure = view.record.readings.find((one) => one.by.event_id === by.event_id); // nobody answered it: that is no second look
  return html`${figure ? html`<a class="button wide quiet" data-answer-it href=${href}>Answer it: ${readingWords(figure.value, figure.quantity)}</a>` : nothing}
    <div class="pair">${WAYS.map(([way, words]) => html`<button class="button wide quiet" type="button" data-anew=${way} @click=${() => go(way)}>${words}</button>`)}</div>`;
}

/** Over the answers: which of the two it is, to be seen and changed before anything is tapped. */
export function anewStrip(stage: Stage, view: JobView, check: Check): TemplateResult | typeof nothing {
  const by = unsafeWord(view, stage.core.person.value?.id ?? "", check.id);
  const lifted = liftedBox(stage, view, check.id);
  if (!by) return lifted;
  const now = wayOf(view, by);
  const words: Signal<string> = stage.typed(`meanwhile ${by.event_id}`, "", () => sayMeanwhile(by, words.value));
  return html`${lifted}<fieldset class="chips" data-anew-ways><legend>You answer it anew. Which is it?</legend>
      ${WAYS.map(([way, words]) => html`<button class="chip" type="button" data-anew=${way} aria-pressed=${String(way === now)} @click=${() => choose(by, way)}>${words}</button>`)}
    </fieldset>
    ${now === "wrong" ? html`<p class="soft">What was noted first stays to be read, as corrected.</p>` : html`<p class="soft">What you found first stays as found.</p>
      <div class="field"><label for="meanwhile">${OF_GAS.has(check.id) ? "What was shut, and by whom?" : "What was done meanwhile?"}</label>
        <input id="meanwhile" type="text" maxlength=${LINE_LENGTH} autocomplete="off" data-meanwhile .value=${meanwhileOf(by)} @input=${(event: Event) => sayMeanwhile(by, (words.value = (event.target as HTMLInputElement).value))} /></div>`}`;
}
