/** This phone: what waits, what is wrong (what is safe first, then what to do), the file, signing out, day or lamp. */
import type { Signal } from "@preact/signals-core";
import { html, nothing, type TemplateResult } from "lit-html";
import { chooseLook, lookNow, type Look } from "../components/look";
import { clockWords, count, queueWords, TROUBLE } from "../words";
import type { Screen, Stage } from "./screen";

export function phoneScreen(stage: Stage): Screen {
  const line = stage.core.queue.value;
  const person = stage.core.person.value;
  const trouble = line.trouble ? TROUBLE[line.trouble] : null;
  const sent = stage.local("asked to send", false);
  return {
    title: "This phone", key: "phone",
    body: html`<h1 tabindex="-1">This phone</h1>
      <section class="queue" aria-label="What waits to be sent">
        ${trouble ? html`<div class="strip" data-kind=${line.trouble === "offline" ? nothing : "bad"}><p><strong>${capital(trouble.short)}.</strong></p><p>${trouble.safe}</p><p>${trouble.do}</p></div>` : nothing}
        <dl class="facts">
          <div><dt>Waiting to be sent</dt><dd>${count(line.waiting, "entry", "entries")}${line.photos_waiting > 0 ? `, ${count(line.photos_waiting, "photo")}` : ""}</dd></div>
          ${line.waiting_since && line.waiting > 0 ? html`<div><dt>Since</dt><dd>${clockWords(line.waiting_since)}</dd></div>` : nothing}
          <div><dt>Last sent</dt><dd>${line.sent_at ? clockWords(line.sent_at) : "never yet"}</dd></div>
          ${line.parked > 0 ? html`<div><dt>Set aside by the server</dt><dd>${count(line.parked, "entry", "entries")}: kept here. Save them to a file and tell the office.</dd></div>` : nothing}
        </dl>
        <div class="stack">
          ${person ? html`<button class="button wide" type="button" @click=${() => void sendNow(stage, sent)}>Try to send now</button>` : nothing}
          ${sent.value ? html`<p role="status">Tried: ${queueWords(line)}.</p>` : nothing}
          <button class="button wide" type="button" data-save-file @click=${() => void stage.attempt(() => saveFile(stage))}>Save what waits to a file</button>
        </div>
      </section>
      ${lookPicker(stage)}
      ${person ? signedIn(stage, person.name) : html`<a class="button wide" data-lamp href="#/sign-in">Sign in</a>`}`,
  };
}

/** Takes as long as the network takes: meanwhile answers can be tapped, and the queue line says how it went. */
async function sendNow(stage: Stage, sent: Signal<boolean>): Promise<void> {
  await stage.core.syncNow().catch(() => undefined);
  sent.value = true;
}

function lookPicker(stage: Stage): TemplateResult {
  const look = stage.local<Look>("look", lookNow());
  const looks: [Look, string][] = [["dark", "Lamp"], ["light", "Daylight"], ["device", "As the phone"]];
  return html`<fieldset class="chips"><legend>Look</legend>${looks.map(([id, words]) => html`<button class="chip" type="button" aria-pressed=${String(look.value === id)}
    @click=${() => {
      chooseLook(id);
      look.value = id;
    }}>${words}</button>`)}</fieldset>`;
}

function signedIn(stage: Stage, name: string): TemplateResult {
  const asked = stage.local("sign out", false);
  if (!asked.value) return html`<p>Signed in: ${name}</p><button class="button wide quiet" type="button" data-sign-out @click=${() => (asked.value = true)}>Sign out</button>`;
  return html`<div class="strip" data-kind="caution"><p><strong>Sign out ${name}?</strong></p>
    <p>What waits stays on this phone and is sent after the next sign-in. Signing in wants a new code from the office, and signal.</p></div>
    <div class="pair"><button class="button" type="button" @click=${() => (asked.value = false)}>Stay</button>
      <button class="button" type="button" data-sign-out-sure @click=${() => void stage.attempt(() => stage.core.signOut()).then((done) => done && stage.go("#/sign-in"))}>Sign out</button></div>`;
}

async function saveFile(stage: Stage): Promise<void> {
  const { name, json } = await stage.core.saveQueueToFile();
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([json], { type: "application/json" }));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000); // the browser reads it after the click
}

function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}
