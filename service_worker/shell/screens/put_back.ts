/** A heater that was left off is in service again: which, what was put right, and by whom; or it was found so, which ends nothing. */
import { html, nothing } from "lit-html";
import { savedStrip } from "../components/strips";
import type { JobView } from "../core_types";
import { jobHref, parentHref } from "../router";
import { FOUND_IN_SERVICE, runsUnshown, shutItOff } from "./found_running";
import { missingList } from "./leads";
import { wordsField } from "./note";
import { repairWords } from "./record_read";
import type { Screen, Stage } from "./screen";
import { leftOffBefore, leftOffHere, leftOffWords } from "./stands_off";

/** What stands off at this address, this visit's own entries first. */
function standing(view: JobView): { id: string; words: string }[] {
  return [
    ...leftOffHere(view).map((one) => ({ id: one.event_id, words: `Left off here: ${one.what_words}, ${one.why_words}` })),
    ...leftOffBefore(view).map((one) => ({ id: one.event_id, words: leftOffWords(one) })),
  ];
}

export function putBackScreen(stage: Stage, view: JobView, from: string | null): Screen {
  const words = stage.typed("put back", "");
  const marked = stage.typed<readonly string[]>("put back which", []);
  const open = view.advice?.put_back ?? null; // without the rules nobody puts back
  const who = stage.typed("put back who", "");
  const found = stage.typed("put back found", false);
  const saysFound = open !== null && !open.ok && open.found_ok && found.value;
  const ours = leftOffHere(view).map((one) => one.event_id);
  const off = standing(view).filter(({ id }) => !saysFound || !ours.includes(id)); // what this visit left off, this visit did not find in service
  const which = off.length === 1 ? off.map(({ id }) => id) : off.map(({ id }) => id).filter((id) => marked.value.includes(id));
  const asksWho = open?.ok ? (open.asks_words ?? null) : null; // advice of an older shell has none
  const ready = open !== null && (open.ok || saysFound) && (asksWho === null || who.value.trim() !== "");
  const runs = runsUnshown(view);
  const save = async (): Promise<void> => {
    const said = words.value.trim();
    const ids = off.length > 0 ? { left_off_ids: which } : {};
    const by = asksWho === null ? {} : { who_words: who.value.trim(), work_words: said };
    const schema = asksWho !== null ? 3 : off.length > 0 ? 2 : 1; // an older reader understands the lower one
    const body = { words: saysFound ? `${FOUND_IN_SERVICE}${said}` : asksWho === null ? said : `${who.value.trim()}: ${said}`, ...ids, ...by };
    if (!(await stage.act(view, [{ kind: "put_back", schema, body }], saysFound ? "found in service" : "put back in service"))) return;
    marked.value = [];
    found.value = false;
    words.value = who.value = "";
    if (saysFound) return; // here it says what to do at once
    stage.go(from === null ? jobHref(view.card.job_id, "close") : (parentHref(stage.route) ?? "#/jobs"));
  };
  const add = (more: string): void => {
    words.value = [words.value.trim(), more].filter(Boolean).join("; ");
  };
  const flip = (id: string): void => {
    marked.value = marked.value.includes(id) ? marked.value.filter((one) => one !== id) : [...marked.value, id];
  };
  return {
    title: "Put back in service", key: runs ? "put-back found" : "put-back", // saved, it begins at its top: what to do stands there
    body: html`${savedStrip(stage, view)}<h1 tabindex="-1">Back in service?</h1>
      ${runs ? shutItOff(view, runs) : nothing}
      ${off.length === 0 ? html`<p class="soft">No heater left off at this address stands in the record.</p>` : nothing}
      ${off.length === 1 ? html`<p class="strip recorded"><strong>${off[0]?.words}</strong></p>` : nothing}
      ${off.length > 1 ? html`<fieldset class="chips"><legend>Which is back in service</legend>
        ${off.map(({ id, words: said }) => html`<button class="chip" type="button" data-which=${id} aria-pressed=${String(marked.value.includes(id))} @click=${() => flip(id)}>${said}</button>`)}</fieldset>` : nothing}
      <p class="strip" data-kind="caution"><strong>Only when what made it unsafe is put right and shown to be.</strong> The tag comes off last. Local rules say who may put it back.</p>
      ${open === null ? html`<p class="soft">Being read from the record…</p>` : open.ok ? nothing : html`<section class="strip" data-kind="bad" data-not-shown><p><strong>Not yet.</strong> First this has to stand in the record:</p>${missingList(view, open.missing, ["put-back"])}</section>
        ${open.found_ok && !runs ? html`<div class="chips"><button class="chip" type="button" data-found aria-pressed=${String(found.value)} @click=${() => (found.value = !found.value)}>It was in service already when I came</button></div>` : nothing}
        ${saysFound ? html`<p class="strip" data-kind="bad" data-found-says><strong>That does not put it back.</strong> A heater that was off makes no CO: a clean reading on entry shows nothing. It stays in the register until a hot run shows it safe.</p>` : nothing}`}
      ${view.record.repairs.length > 0 ? html`<div class="chips">${view.record.repairs.map((one) => html`<button class="chip" type="button" @click=${() => add(repairWords(view.procedure, one.action))}>${repairWords(view.procedure, one.action)}</button>`)}</div>` : nothing}
      ${asksWho === null ? nothing : html`<section class="strip stack" data-kind="caution" data-asks-who><p><strong>What made it safe?</strong> ${asksWho}</p>
        <p><a class="inline-link" href=${jobHref(view.card.job_id, "cause")}>Name the cause</a> · <a class="inline-link" href=${jobHref(view.card.job_id, "repair")}>Note the repair</a></p></section>
        <div class="field"><label for="put-back-who">Who put it right: name, licence or company</label>
          <input id="put-back-who" autocomplete="off" maxlength="200" .value=${who.value} @input=${(event: Event) => (who.value = (event.target as HTMLInputElement).value)} /></div>`}
      ${wordsField("put-back", saysFound ? "Who put it in service, as far as you know" : "What was put right", words)}<p class="soft">Your name goes with it. If somebody else put it right, say who.</p>
      <div class="dock"><button class="button wide tall" type="button" data-lamp data-put-back-save ?disabled=${!ready || words.value.trim() === "" || (off.length > 0 && which.length === 0) || stage.busy.value} @click=${() => void save()}>${saysFound ? "Note: found in service" : "It is in service again"}</button></div>`,
  };
}
