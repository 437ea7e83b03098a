/** The instruments of this job: the bag as this phone knows it, and what was done to each today. */
import { html, nothing, type TemplateResult } from "lit-html";
import { savedStrip } from "../components/strips";
import type { Draft, Instrument, InstrumentKind, JobView } from "../core_types";
import { dayWords } from "../words";
import { jobHref } from "../router";
import { nowMs } from "./clock";
import { replacing } from "./drafts";
import { carriedNow, KIND_WORDS } from "./instruments";
import { isStale, kitMissing, TODAY, yearUp } from "./kit_missing";
import type { Screen, Stage } from "./screen";

/** What this job says of an instrument of the bag. */
interface Said {
  carried: boolean;
  bump_tested: boolean;
  zeroed: boolean;
}

type Saying = { [id: string]: Said };

export function kitScreen(stage: Stage, view: JobView): Screen {
  const bag = stage.core.own.value.instruments;
  const adding = stage.typed<InstrumentKind | null>("add instrument", null);
  if (adding.value) return addScreen(stage, adding.value, () => (adding.value = null));
  const said = stage.typed<Saying>("kit", asNoted(view, bag));
  const carried = bag.filter((one) => said.value[one.instrument_id]?.carried);
  const missing = kitMissing(view.record, nowMs.value);
  const save = async (): Promise<void> => {
    const drafts = carried.map((one) => carriedDraft(view, stage.core.person.value?.id ?? "", one, said.value[one.instrument_id]!));
    const day = today();
    const instruments = bag.map((one) => ({ ...one, last: { ...(said.value[one.instrument_id] ?? NOTHING), day } }));
    if (!(await stage.act(view, drafts, `instruments: ${carried.length}`))) return;
    await stage.core.keepOwn({ instruments });
    stage.go(jobHref(view.card.job_id));
  };
  const say = (id: string, more: Partial<Said>): void => {
    said.value = { ...said.value, [id]: { ...(said.value[id] ?? NOTHING), ...more } };
  };
  return {
    title: "Instruments", key: "kit",
    body: html`${savedStrip(stage, view)}<h1 tabindex="-1">What do you carry?</h1>
      <p class="soft">Kept on this phone for the next job. Each reading then names its instrument.</p>
      ${view.record.instruments.length > 0 && missing.length > 0 ? html`<ul class="strip plain" data-kind="caution">${missing.map((words) => html`<li>${words}</li>`)}</ul>` : nothing}
      ${bag.some((one) => one.last?.carried) ? html`<button class="button wide tall" type="button" data-same @click=${() => (said.value = asLastTime(bag))}>Same as last time</button>` : nothing}
      ${bag.length === 0 ? html`<p class="empty">No instrument is on this phone's list yet. Add each one once.</p>` : nothing}
      <ul class="kit">${bag.map((one) => row(one, said.value[one.instrument_id] ?? NOTHING, (more) => say(one.instrument_id, more)))}</ul>
      <details class="more" ?open=${bag.length === 0}><summary>Add an instrument</summary>
        <div class="chips">${(Object.keys(KIND_WORDS) as InstrumentKind[]).map((kind) => html`<button class="chip" type="button" data-add=${kind} @click=${() => (adding.value = kind)}>${KIND_WORDS[kind]}</button>`)}</div></details>
      <div class="dock" data-stick>${carried.length > 0 ? html`<button class="button wide tall" type="button" data-lamp data-kit-save ?disabled=${stage.busy.value} @click=${() => void save()}>Note ${carried.length === 1 ? "it" : `these ${carried.length}`} for this job</button>` : bag.length > 0 ? html`<p class="soft">Tap what you carry.</p>` : nothing}</div>`,
  };
}

const NOTHING: Said = { carried: false, bump_tested: false, zeroed: false };

function row(one: Instrument, said: Said, say: (more: Partial<Said>) => void): TemplateResult {
  return html`<li class="kit-one" data-instrument=${one.instrument_kind}>
    <button class="answer" type="button" aria-pressed=${String(said.carried)} @click=${() => say({ carried: !said.carried })}>
      <span class="answer-words">${KIND_WORDS[one.instrument_kind]}${one.serial_words ? `, ${one.serial_words}` : ""}</span>
      <span class="verdict" data-verdict=${said.carried ? "good" : "not_checked"}>${said.carried ? "carried" : "not today"}</span>
      <span class="answer-more">${one.calibrated_on ? `Calibrated ${dayWords(one.calibrated_on)}; a year ${isStale(one.calibrated_on, nowMs.value) ? "was" : "is"} up on ${dayWords(yearUp(one.calibrated_on).toISOString())}` : "No calibration date noted"}</span>
    </button>
    ${said.carried ? html`<div class="chips">${(TODAY[one.instrument_kind] ?? []).map(([what, words]) => html`<button class="chip" type="button" data-today=${what} aria-pressed=${String(said[what])} @click=${() => say({ [what]: !said[what] })}>${words}</button>`)}</div>` : nothing}
  </li>`;
}

/** What stands in this job's record already. */
function asNoted(view: JobView, bag: readonly Instrument[]): Saying {
  const noted = new Map(carriedNow(view.record).map((one) => [one.instrument_id, one]));
  return Object.fromEntries(bag.flatMap(({ instrument_id }) => {
    const one = noted.get(instrument_id);
    return one ? [[instrument_id, { carried: true, bump_tested: one.bump_tested === true, zeroed: one.zeroed === true }]] : [];
  }));
}

/** The same instruments; what was done to them counts only when it was done today. */
function asLastTime(bag: readonly Instrument[]): Saying {
  const day = today();
  return Object.fromEntries(bag.flatMap(({ instrument_id, last }) => (last ? [[instrument_id, {
    carried: last.carried, bump_tested: last.bump_tested && last.day === day, zeroed: last.zeroed && last.day === day,
  }]] : [])));
}

function today(): string {
  return new Date().toDateString();
}

export function carriedDraft(view: JobView, me: string, one: Omit<Instrument, "serial_words" | "last"> & { serial_words: string | null }, said: Said): Draft {
  const mine = view.record.instruments.filter((noted) => noted.by.person_id === me && noted.instrument_id === one.instrument_id);
  const asked = new Set((TODAY[one.instrument_kind] ?? []).map(([what]) => what));
  const body = {
    instrument_id: one.instrument_id, instrument_kind: one.instrument_kind, ...(one.serial_words ? { serial_words: one.serial_words } : {}),
    ...(one.calibrated_on ? { calibrated_on: one.calibrated_on } : {}), ...(asked.has("bump_tested") ? { bump_tested: said.bump_tested } : {}), ...(asked.has("zeroed") ? { zeroed: said.zeroed } : {}),
  };
  return { kind: "instrument_carried", body, ...replacing(mine.map((noted) => noted.by.event_id)) };
}

function addScreen(stage: Stage, kind: InstrumentKind, back: () => void): Screen {
  const serial = stage.typed("serial", "");
  const calibrated = stage.typed("calibrated", "");
  const keep = async (): Promise<void> => {
    const made: Instrument = { instrument_id: crypto.randomUUID(), instrument_kind: kind, serial_words: serial.value.trim(), calibrated_on: calibrated.value || null, last: null };
    await stage.core.keepOwn({ instruments: [...stage.core.own.value.instruments, made] });
    serial.value = calibrated.value = "";
    back();
  };
  const typed = (words: typeof serial) => (event: Event): void => void (words.value = (event.target as HTMLInputElement).value);
  return {
    title: KIND_WORDS[kind], key: `add ${kind}`,
    body: html`<h1 tabindex="-1">${KIND_WORDS[kind]}</h1><p class="soft">Once; this phone keeps it. Both lines can stay empty.</p>
      <div class="field"><label for="serial">Name or serial number on it</label><input id="serial" autocomplete="off" maxlength="80" .value=${serial.value} @input=${typed(serial)} /></div>
      <div class="field"><label for="calibrated">Last calibrated on</label><input id="calibrated" type="date" .value=${calibrated.value} @input=${typed(calibrated)} /></div>
      <div class="dock"><button class="button wide tall" type="button" data-lamp data-keep @click=${() => void stage.attempt(keep)}>Keep it</button>
        <button class="button wide quiet" type="button" @click=${back}>Leave it</button></div>`,
  };
}

