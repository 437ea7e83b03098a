/** What is typed and not saved, over a new start of the page: kept shortly after each change, put back on its form, gone once it is saved. Never a record by itself. */
import { batch, signal } from "@preact/signals-core";
import { html, nothing, type TemplateResult } from "lit-html";
import type { Core, JobView, UnsavedForm } from "../core_types";
import { jobHref, type JobRoute, type Route } from "../router";
import { clockWords } from "../words";
import type { Local, Locals, Screen, Stage } from "./screen";
import { isOlder, isOver, visitOf } from "./unsaved_read";
import { viewOf } from "./view_of";

/** A pause in the typing. */
const PAUSE_MS = 300;

interface OnScreen {
  core: Core;
  person: string;
  job: string;
  href: string;
  title: string;
  view: JobView;
  visit: string;
  locals: Locals;
}

type Forms = ReadonlyMap<string, UnsavedForm>;

let shown: OnScreen | null = null;
let asked = ""; // whose forms are being read: a person's in a job
let whose = ""; // whose they are
let pause: ReturnType<typeof setTimeout> | undefined;
/** What this person did not save in this job, by where it stands. */
const forms = signal<Forms>(new Map());
/** Those of an earlier start of the page, as they came. */
const before = signal<Forms>(new Map());
const put = new WeakSet<Local>();
/** What this page kept itself: no clock says it, for a phone's may be set back. */
const ours = new Set<string>();

addEventListener("pagehide", keepNow);
document.addEventListener("visibilitychange", () => document.hidden && keepNow());

/** After each drawing of the page; it reads nothing that would have the page drawn again. */
export function followTyped(stage: Stage, screen: Screen, locals: Locals): void {
  const now = onScreen(stage, screen, locals);
  if (shown && (shown.href !== now?.href || shown.person !== now.person)) keepNow();
  shown = now;
  if (!now) return;
  if (asked !== scopeOf(now)) void load(now);
  queueMicrotask(() => shown === now && whose === scopeOf(now) && putBack(now));
  clearTimeout(pause);
  if (document.hidden) keepNow();
  else pause = setTimeout(keepNow, PAUSE_MS);
}

function onScreen(stage: Stage, { title, back }: Screen, locals: Locals): OnScreen | null {
  const [person, view] = [stage.core.person.peek()?.id, stage.core.view.peek()];
  const { route } = stage;
  if (!person || !view || !("job" in route) || view.card.job_id !== route.job) return null;
  const href = hrefOf(route);
  const within = back && shown?.href === href; // a pad over the form, which has the better name
  return { core: stage.core, person, job: route.job, href, title: within ? shown!.title : title, view, visit: visitOf(route, view), locals };
}

function hrefOf({ job, name, arg, from }: JobRoute): string {
  return jobHref(job, name, arg ?? undefined, from);
}

/** When the job is opened: nothing waits for it. */
async function load(now: OnScreen): Promise<void> {
  const scope = (asked = scopeOf(now));
  const rows = await now.core.unsaved(now.person, now.job).catch(() => []);
  if (asked !== scope) return;
  whose = scope;
  batch(() => {
    forms.value = new Map(rows.map((one) => [one.href, one]));
    before.value = new Map(rows.filter(({ href }) => !ours.has(`${scope} ${href}`)).map((one) => [one.href, one]));
  });
}

function scopeOf({ person, job }: Pick<OnScreen, "person" | "job">): string {
  return `${person} ${job}`;
}

/** As it was, where nobody has typed anything else since. What was saved in the last moment of the earlier start is not put back. */
function putBack({ core, job, href, view, locals }: OnScreen): void {
  const form = forms.peek().get(href);
  if (form && isOlder(view, form)) return;
  if (form && isOver(view, form, core.person.peek()?.id)) return drop(core, job, href);
  batch(() => {
    for (const [name, local] of locals) {
      if (!("first" in local) || put.has(local)) continue;
      put.add(local); // once: whatever stands there from now on was typed on this screen
      if (!form || !(name in form.values) || !isFirst(local)) continue;
      local.value = form.values[name];
      local.cameBack?.();
    }
  });
}

function keepNow(): void {
  clearTimeout(pause);
  if (!shown || whose !== scopeOf(shown)) return;
  const { core, person, job, href, title, view, visit, locals } = shown;
  const form = forms.peek().get(href);
  if (form && isOlder(view, form)) return;
  const typed = [...locals].filter(([, local]) => "first" in local);
  const elsewhere = Object.entries(form?.values ?? {}).filter(([name]) => !typed.some(([one, local]) => one === name && put.has(local)));
  const values = Object.fromEntries([...elsewhere, ...typed.filter(([, local]) => !isFirst(local)).map(([name, local]) => [name, local.peek()])]);
  if (!Object.values(values).some(isTyped)) return form && drop(core, job, href);
  if (form && same(form.values, values)) return;
  const next = { href, title, at_wall: new Date().toISOString(), lamport: view.record.lamport, visit, values };
  forms.value = new Map(forms.peek()).set(href, next);
  ours.add(`${whose} ${href}`);
  void core.keepUnsaved(person, job, href, next).catch(() => undefined); // a full disk: it is on the screen as before
}

/** Saved, or thrown away. */
export function dropUnsaved(core: Core, at: Route): void {
  if (!("job" in at)) return;
  const href = hrefOf(at);
  if (shown?.href === href) shown = null; // until it is drawn anew, empty
  drop(core, at.job, href);
}

function drop(core: Core, job: string, href: string): void {
  const person = core.person.peek()?.id;
  if (!person) return;
  batch(() => {
    for (const some of [forms, before]) if (some.peek().has(href)) some.value = new Map([...some.peek()].filter(([one]) => one !== href));
  });
  void core.keepUnsaved(person, job, href, null).catch(() => undefined);
}

function isFirst(local: Local): boolean {
  return same(local.peek(), local.first);
}

/** A pad without a figure and a box that was opened are nothing typed yet. */
function isTyped(value: unknown): boolean {
  return typeof value !== "boolean" && (value as { text?: unknown } | null)?.text !== "";
}

function same(one: unknown, other: unknown): boolean {
  return JSON.stringify(one) === JSON.stringify(other);
}

/** Over a form to which something came back, with the way to throw it away; a pad over it has its own. */
export function unsavedLine(stage: Stage, screen: Screen): TemplateResult | typeof nothing {
  const { route } = stage;
  const view = viewOf(stage);
  if (!view || !("job" in route) || !isOf(stage, route.job)) return nothing;
  const href = hrefOf(route);
  const form = before.value.get(href);
  if (!form || shown?.href !== href || ![...shown.locals].some(([name, local]) => name in form.values && !isFirst(local))) return nothing;
  const words = `Typed ${clockWords(form.at_wall)}, before the restart. Not ${form.visit ? "answered" : "saved"} yet.`;
  if (screen.back) return html`<p class="beside" data-unsaved>${words}</p>`;
  const sure = stage.local("throw away", false);
  const turn = (): void => void (sure.value = !sure.value);
  return html`<div class="unsaved" data-unsaved><p>${words}</p>
    ${sure.value ? html`<div class="pair"><button class="button" type="button" data-keep-it @click=${turn}>Keep it</button><button class="button" type="button" data-throw-away @click=${() => throwAway(stage)}>Throw it away</button></div>`
    : html`<button class="button quiet" type="button" data-throw @click=${turn}>Throw it away</button>`}</div>`;
}

function throwAway(stage: Stage): void {
  batch(() => {
    for (const local of shown?.locals.values() ?? []) {
      if (!("first" in local)) continue;
      local.value = local.first;
      local.cameBack?.();
    }
    stage.forget();
  });
}

/** Of this person in this job: another one's are read by nobody. */
function isOf({ core }: Stage, job: string): boolean {
  return whose === scopeOf({ person: core.person.value?.id ?? "", job });
}

/** On the job's own page. */
export function unsavedForms(stage: Stage, view: JobView): TemplateResult | typeof nothing {
  const me = stage.core.person.value?.id;
  const waiting = [...before.value.values()].filter((form) => isOf(stage, view.card.job_id) && !isOver(view, form, me));
  if (waiting.length === 0) return nothing;
  return html`<div class="unsaved" data-unsaved-forms><p>Typed before the restart, still open:</p>
    ${waiting.map(({ href, title }) => html`<a class="button" href=${href}>${title}</a>`)}</div>`;
}
