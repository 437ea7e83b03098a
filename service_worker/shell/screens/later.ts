/** The way to the second part of the shell: fetched from its own cache once the first screen is painted, or when a screen of it is asked for. */
import { signal } from "@preact/signals-core";
import { html, nothing, type TemplateResult } from "lit-html";
import { jobHref } from "../router";
import type { Screen, Stage } from "./screen";

type Late = typeof import("./late");
export type LoadLate = () => Promise<Late>;

const late = signal<Late | "coming" | "failed">("coming");
let load: LoadLate | null = null;
let begun = false;

/** How to fetch it is said by the page's entry; a test's stage says otherwise. */
export function loadLateBy(way: LoadLate): void {
  load = way;
}

export function fetchLate(): void {
  if (begun || !load) return;
  begun = true;
  load().then((screens) => (late.value = screens), () => (late.value = "failed"));
}

/** A screen of the second part; until it is here, a word that says so. */
export function lateScreen(stage: Stage, pick: (screens: Late) => Screen): Screen {
  if (late.value === "failed") return failedScreen(stage);
  if (late.value !== "coming") return pick(late.value);
  queueMicrotask(fetchLate);
  return { title: "Opening", key: "late", body: html`<h1 tabindex="-1">Opening…</h1><p class="soft">It is read from this phone.</p>` };
}

/** A piece of a screen that comes with the second part; `meanwhile` until it is here. */
export function lateBit<P, T>(pick: (screens: Late) => P, meanwhile: T): P | T {
  return typeof late.value === "string" ? meanwhile : pick(late.value);
}

/** A text with the trade's words to tap, each once for every `seen`. */
export function worded(text: string, seen: Set<string>): TemplateResult | string {
  return typeof late.value === "string" ? text : late.value.withTerms(text, seen);
}

/** What is safe, then what to do. A failed module stays failed for the life of the page: only a new start asks for it again. */
function failedScreen({ route }: Stage): Screen {
  const job = "job" in route ? route.job : null;
  return {
    title: "Not opened", key: "late failed",
    body: html`<h1 tabindex="-1">This screen did not open</h1>
      <p>Everything you saved is on this phone.</p>
      <p>Start Undercroft again: that fetches the missing part. If it stays away, stand where there is signal and try once more.</p>
      <div class="dock"><button class="button wide tall" type="button" data-lamp @click=${() => location.reload()}>Start again</button>
        ${job && route.name !== "walk" ? html`<a class="button wide" href=${jobHref(job, "walk")}>Go on with the walk</a>` : nothing}
        <a class="button wide quiet" href="#/jobs">To the jobs</a></div>`,
  };
}
