/** A heater that was left off is in service again: what was put right, and by whom. */
import { html, nothing } from "lit-html";
import { savedStrip } from "../components/strips";
import type { JobView } from "../core_types";
import { jobHref } from "../router";
import { dayWords } from "../words";
import { wordsField } from "./note";
import { repairWords } from "./record_read";
import type { Screen, Stage } from "./screen";

export function putBackScreen(stage: Stage, view: JobView): Screen {
  const words = stage.local("put back", "");
  const here = view.record.left_off.at(-1);
  const earlier = view.facts.left_off;
  const save = async (): Promise<void> => {
    if (await stage.act(view, [{ kind: "put_back", body: { words: words.value.trim() } }], "put back in service")) stage.go(jobHref(view.card.job_id, "close"));
  };
  const add = (more: string): void => {
    words.value = [words.value.trim(), more].filter(Boolean).join("; ");
  };
  return {
    title: "Put back in service", key: "put-back",
    body: html`${savedStrip(stage, view)}<h1 tabindex="-1">Back in service?</h1>
      ${here ? html`<p class="strip recorded">Left off here: <strong>${here.what_words}</strong>, ${here.why_words}</p>` : earlier ? html`<p class="strip recorded">Left off on ${dayWords(earlier.wall)}: <strong>${earlier.what_words}</strong></p>` : html`<p class="soft">No heater left off at this address stands in the record.</p>`}
      <p class="strip" data-kind="caution"><strong>Only when what made it unsafe is put right and shown to be.</strong> The tag comes off last. Local rules say who may put it back.</p>
      ${view.record.repairs.length > 0 ? html`<div class="chips">${view.record.repairs.map((one) => html`<button class="chip" type="button" @click=${() => add(repairWords(view.procedure, one.action))}>${repairWords(view.procedure, one.action)}</button>`)}</div>` : nothing}
      ${wordsField("put-back", "What was put right, and by whom", words)}
      <div class="dock"><button class="button wide tall" type="button" data-lamp data-put-back-save ?disabled=${words.value.trim() === "" || stage.busy.value} @click=${() => void save()}>It is in service again</button></div>`,
  };
}
