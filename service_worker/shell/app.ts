/** Puts screens on the page: one effect renders, one place moves the focus, one place says what was saved. */
import { batch, effect, signal, type Signal } from "@preact/signals-core";
import { html, render, type TemplateResult } from "lit-html";
import { fitDock, standOnFoot } from "./components/dock";
import { guardDoubleTaps } from "./components/double_tap";
import { CoreError, type Core, type Draft, type JobView, type Photo } from "./core_types";
import { parseRoute, type Route } from "./router";
import { startClock, tickClock } from "./screens/clock";
import { frame } from "./screens/frame";
import { screenFor } from "./screens/all";
import { lateBit } from "./screens/later";
import type { Locals, SavedNote, Stage } from "./screens/screen";
import { faultWords } from "./words";

const HAPTIC_MS = 15;
/** What takes less is drawn once, at its end: a wait that nobody sees costs a slow phone a drawing of the page. */
const SEEN_WAIT_MS = 200;

/** All of these stays as it is over a look elsewhere, until it is saved; of other screens what was typed (screens/unsaved.ts). */
const LONG_FORMS: ReadonlySet<string> = new Set(["proof", "agreed", "close", "repair", "left-off", "note"]);

/** Saved from a screen that goes on asking. */
const BESIDE: ReadonlySet<string> = new Set(["photo_taken", "came_out"]);

/** Starts the core from the phone's own store, then shows the first screen; a store that will not open is said, never a blank page. */
export async function startShell(core: Core, root: HTMLElement, announcer: HTMLElement): Promise<void> {
  try {
    await core.start();
  } catch (error) {
    root.replaceChildren();
    render(startFault(error), root);
    return;
  }
  root.replaceChildren();
  mountApp(core, root, announcer);
}

function startFault(error: unknown): TemplateResult {
  return html`<main data-screen="start-fault"><h1 tabindex="-1">Undercroft could not open its store</h1>
    <p>What was saved on this phone is still there; it only cannot be read now.</p>
    <p>Close other windows of Undercroft, make room on the phone if it is full, then try again.</p>
    <p class="soft">${error instanceof Error ? error.message : ""}</p>
    <div class="dock"><button class="button wide tall" type="button" data-lamp @click=${() => location.reload()}>Try again</button></div></main>`;
}

function mountApp(core: Core, root: HTMLElement, announcer: HTMLElement): void {
  const route = signal(parseRoute(location.hash));
  const busy = signal(false);
  const held = signal(false); // nothing is drawn meanwhile
  const fault = signal<string | null>(null);
  const saved = signal<SavedNote | null>(null);
  const stayed = signal<ReadonlySet<string>>(new Set());
  const begun = new Map<string, Locals>();
  let locals: Locals = new Map();
  let leaving: (() => Promise<void>) | null = null; // as the question on the screen has it
  let shownKey = "";
  let scrolled = false; // the job's own page, as it was left
  let backFrom: string | null = null;

  /** `work` may hand back what is to be shown: it is painted together with the end of the wait, once. */
  async function attempt(work: () => Promise<void | (() => void)>): Promise<boolean> {
    if (busy.value) return false;
    announcer.textContent = ""; // what went wrong before is not so any more
    batch(() => {
      held.value = busy.value = true;
      fault.value = null;
    });
    const seen = setTimeout(() => (held.value = false), SEEN_WAIT_MS);
    let ending = (): void => undefined;
    try {
      ending = (await work()) ?? ending;
      return true;
    } catch (error) {
      const words = wordsOf(error);
      ending = () => (fault.value = words);
      announce(announcer, words);
      return false;
    } finally {
      clearTimeout(seen);
      batch(() => {
        ending();
        held.value = busy.value = false;
      });
    }
  }

  /** Another person on the same phone begins anew. */
  const place = (at: Route): string => JSON.stringify([core.person.peek()?.id, at]);

  function leave(): void {
    const save = leaving;
    leaving = null;
    void save?.();
  }

  /** Saved, or thrown away: on the screen where it was typed, whatever is on the screen by now. */
  function forget(at: Route): void {
    begun.delete(place(at));
    lateBit((late) => late.dropUnsaved(core, at), undefined);
    if (place(at) !== place(route.peek())) return;
    leaving = null;
    locals = new Map();
    begun.set(place(at), locals);
  }

  function noteSaved(job: string, at: string, words: string): void {
    saved.value = { job, at, words };
    tickClock();
    announce(announcer, `Saved on this phone: ${words}`);
    navigator.vibrate?.(HAPTIC_MS);
  }

  const stage: Omit<Stage, "route"> = {
    core, busy, fault, saved, stayed, attempt,
    go(href) {
      location.hash = href;
    },
    local<T>(name: string, first: T): Signal<T> {
      let found = locals.get(name);
      if (!found) locals.set(name, (found = signal<unknown>(first)));
      return found as Signal<T>;
    },
    typed: (name, first, cameBack) => Object.assign(stage.local(name, first), { first, cameBack }),
    forget: () => forget(route.peek()),
    onLeave(save) {
      leaving = save;
    },
    act(view: JobView, drafts: Draft[], words: string, photo?: Photo): Promise<boolean> {
      const at = route.peek();
      return attempt(async () => {
        const done = await core.act(view.card.job_id, drafts, photo);
        if (drafts.some(({ kind }) => !BESIDE.has(kind))) forget(at); // the question is answered: what stood half typed on it is gone
        return () => noteSaved(view.card.job_id, done.saved_at, words);
      });
    },
    async undo(view: JobView, words: string): Promise<void> {
      await attempt(async () => {
        const done = await core.undoLast(view.card.job_id);
        if (!LONG_FORMS.has(route.peek().name)) stage.forget();
        return () => noteSaved(view.card.job_id, done.saved_at, `taken back: ${words}`);
      });
    },
  };

  startClock();
  const otherScreen = guardDoubleTaps();
  const fitSoon = oncePerFrame(() => fitDock(root)); // it measures the page: once for all that changes before the next paint
  addEventListener("resize", fitSoon);
  addEventListener("scroll", oncePerFrame(() => standOnFoot(root)), { passive: true });
  document.addEventListener("visibilitychange", () => document.hidden && leave());
  addEventListener("hashchange", () => {
    const [before, next] = [route.peek().name, parseRoute(location.hash)];
    if (before === "home") scrolled = scrollY > 0; // before anything is painted anew
    backFrom = scrolled && next.name === "home" ? before : null;
    fault.value = null;
    const job = "job" in next ? next.job : null;
    if (saved.value?.job !== job) saved.value = null; // whoever comes back to a job reads from its record what was last
    if (job !== null && !saved.value) announcer.textContent = ""; // and hears of no other job
    tickClock();
    locals = (LONG_FORMS.has(next.name) && begun.get(place(next))) || new Map();
    begun.set(place(next), locals);
    leave(); // it is of the question before: what was typed there is kept
    route.value = next;
  });

  // The job on the address line is the job on the screen.
  effect(() => {
    const now = route.value;
    if (core.person.value && "job" in now) void openIfOther(core, now.job, fault);
  });

  effect(() => {
    if (held.value) return;
    leaving = null;
    const now = withSignIn(route.value, core.person.value !== null);
    const screen = screenFor({ ...stage, route: now });
    const key = `${location.hash} ${screen.key}`;
    render(frame({ ...stage, route: now }, screen), root);
    fitSoon();
    lateBit((late) => late.followTyped({ ...stage, route: now }, screen, locals), undefined);
    document.title = `${screen.title} · Undercroft`;
    if (key === shownKey) return;
    const first = shownKey === "";
    shownKey = key;
    otherScreen();
    if (!first) arrive(root, backFrom);
  });
}

function oncePerFrame(work: () => void): () => void {
  let asked = 0;
  return () => {
    asked ||= requestAnimationFrame(() => {
      work();
      asked = 0; // what the work itself sets in motion asks for no second time
    });
  };
}

function withSignIn(route: Route, signedIn: boolean): Route {
  return signedIn || route.name === "phone" ? route : { name: "sign-in" };
}

async function openIfOther(core: Core, jobId: string, fault: Signal<string | null>): Promise<void> {
  if (core.view.peek()?.card.job_id === jobId) return;
  try {
    await core.openJob(jobId);
  } catch (error) {
    fault.value = wordsOf(error);
  }
}

/** A new screen starts at its top, the job's own page at the line from which one went; its heading has the focus. */
function arrive(root: HTMLElement, backFrom: string | null): void {
  scrollTo(0, 0);
  root.querySelector(`[data-way="${backFrom}"]`)?.scrollIntoView({ block: "center" });
  root.querySelector<HTMLElement>("h1")?.focus({ preventScroll: true });
}

/** Said twice in the same words it would be read once: so the node is emptied first. */
function announce(announcer: HTMLElement, words: string): void {
  announcer.textContent = "";
  requestAnimationFrame(() => {
    announcer.textContent = words;
  });
}

function wordsOf(error: unknown): string {
  if (error instanceof CoreError) return faultWords(error.code, error.message);
  return "Something went wrong on this phone. What says “saved” is saved. Try once more.";
}
