/** What the customer was told and answered, before anything is taken apart. Asked, never forced. */
import { html, nothing, type TemplateResult } from "lit-html";
import type { Signal } from "@preact/signals-core";
import { answerButtons } from "../components/answers";
import { signaturePad } from "../components/signature";
import { savedStrip } from "../components/strips";
import type { JobView, Procedure } from "../core_types";
import { jobHref, type JobScreen } from "../router";
import { plainFound } from "./plain";
import { causeWords, repairWords, verdictOf } from "./record_read";
import { offered, wordsField } from "./note";
import type { Screen, Stage } from "./screen";

const FOUND_MOST = 4;
/** What is mostly said and wanted beside what was found (common practice, no source). Never a price. */
const TOLD = ["Shown at the heater", "What it costs", "A return visit may be needed"];
const STAYS_OFF = "It stays off until it is put right";
const TO_BE_DONE: [words: string, screen: JobScreen, arg?: string][] = [["Look further, then ask again", "walk"], ["Order the part and come back", "close", "waiting_part"], ["Make it safe and leave it off", "left-off"]];

export function agreedScreen(stage: Stage, view: JobView): Screen {
  const told = stage.typed("agreed told", "");
  const scope = stage.typed("agreed scope", "");
  const price = stage.typed("agreed price", "");
  const name = stage.typed("agreed name", "");
  const path = stage.typed("agreed path", "");
  const away = stage.typed("agreed away", false);
  const job = view.card.job_id;
  const complete = told.value.trim() !== "" && scope.value.trim() !== "";
  const save = async (decision: string): Promise<void> => {
    const more = { price_words: price.value.trim(), name_words: name.value.trim(), signature_path: path.value };
    const body = { told_words: told.value.trim(), scope_words: scope.value.trim(), decision, ...Object.fromEntries(Object.entries(more).filter(([, words]) => words !== "")) };
    if (await stage.act(view, [{ kind: "work_agreed", body }], decision === "authorised" ? "work agreed" : "declined")) stage.go(wayOn(job, decision, body.scope_words));
  };
  if (away.value) return nobodyScreen(stage, view, () => (away.value = false));
  const last = view.record.agreements.at(-1);
  return {
    title: "What was agreed", key: "agreed",
    body: html`${savedStrip(stage, view)}<h1 tabindex="-1">What was agreed?</h1>
      <p class="soft">Before anything is taken apart: what the customer was told, and what they want done.</p>
      ${last ? html`<p class="strip recorded">${last.decision === "authorised" ? "Agreed" : "Declined"}: <strong>${last.scope_words}</strong>${last.name_words ? `, ${last.name_words}` : ""}</p>` : nothing}
      ${offered("agreed-told", "The customer was told", told, toldOf(view))}
      ${offered("agreed-scope", "To be done", scope, [...repairsOf(view), ...TO_BE_DONE.map(([words]) => words)])}
      ${line("price", "Price, in words or figures", price, 200)}
      ${line("name", "Name of who decides", name, 120)}
      <p class="field-name">Signature, on this screen</p>
      ${signaturePad(path.value, (now) => (path.value = now))}
      <section class="dock" aria-label="Answers">
        ${complete ? answerButtons([{ id: "authorised", words: "They want it done" }, { id: "declined", words: "They do not want it" }], (id) => void save(id), stage.busy.value) : html`<p class="soft">What was told and what is to be done first; then the answer.</p>`}
        <button class="button wide quiet" type="button" data-nobody @click=${() => (away.value = true)}>The customer is not there</button>
      </section>`,
  };
}

/** To what was agreed, where it is one of the usual; else to the repair. */
function wayOn(job: string, decision: string, scope: string): string {
  if (decision === "declined") return jobHref(job, "close", "declined");
  const [, screen, arg] = TO_BE_DONE.find(([words]) => words === scope) ?? [scope, "repair" as const];
  return jobHref(job, screen, arg);
}

/** Nobody to ask: written down in words, and the work goes on or does not. */
function nobodyScreen(stage: Stage, view: JobView, back: () => void): Screen {
  const words = stage.typed("nobody words", "");
  const save = async (): Promise<void> => {
    const note = `Customer not there: ${words.value.trim()}`;
    if (await stage.act(view, [{ kind: "note", body: { words: note } }], "customer not there")) stage.go(jobHref(view.card.job_id, "repair"));
  };
  return {
    title: "Customer not there", key: "agreed nobody",
    body: html`<h1 tabindex="-1">Nobody there to agree</h1><p>Who was asked instead, and how? By phone, the landlord, the office: in your words.</p>
      ${wordsField("nobody-words", "In your own words", words)}
      <div class="dock"><button class="button wide tall" type="button" data-lamp data-nobody-save ?disabled=${words.value.trim() === "" || stage.busy.value} @click=${() => void save()}>Note it</button>
        <button class="button wide quiet" type="button" @click=${back}>Somebody is there after all</button></div>`,
  };
}

function line(id: string, label: string, words: Signal<string>, most: number): TemplateResult {
  return html`<div class="field"><label for=${`agreed-${id}`}>${label}</label><input id=${`agreed-${id}`} autocomplete="off" maxlength=${most} .value=${words.value} @input=${(event: Event) => (words.value = (event.target as HTMLInputElement).value)} /></div>`;
}

/** The named cause, or what was found not to be right in the words of the customer's sheet. */
function foundWords({ record, procedure }: JobView): string[] {
  const bad = record.checks.flatMap(({ check, outcome }) => (outcome && isTold(procedure, check, outcome) ? [plainFound(procedure, check, outcome)] : []));
  return record.cause ? [causeWords(procedure, record.cause)] : bad.slice(0, FOUND_MOST); // the cause says it plainer than its checks
}

function isTold(procedure: Procedure | null, check: string, outcome: string): boolean {
  return verdictOf(procedure, check, { outcome, could_not: null }) === "bad" || procedure?.checks.find(({ id }) => id === check)?.outcomes.find(({ id }) => id === outcome)?.unsafe === true;
}

function toldOf(view: JobView): string[] {
  const isUnsafe = view.record.heater_off || (view.advice?.unsafe ?? []).length > 0;
  return [...foundWords(view), ...(isUnsafe ? [STAYS_OFF] : []), ...TOLD];
}

function repairsOf({ record, procedure }: JobView): string[] {
  const ours = procedure?.causes.find((cause) => cause.id === record.cause)?.repairs ?? [];
  return ours.map((id) => repairWords(procedure, id));
}
