/** The shell around the core: is it installed, is it cached, does a newer one wait. */
import { BUILD } from "../generated/shell_assets";

const WORKER_URL = "/phone/worker.js";
const CACHE = `undercroft-shell-${BUILD}`;
const LOOK_AGAIN_MS = 30 * 60_000;
const COMPLETE = "/phone/complete";
/**
 * Chromium keeps the new worker waiting, for minutes, when it is called while requests of this page are under way (at the
 * very load event six times of ten, 5 ms later and more never). A fresh page frees it, and is made anew when the worker takes over.
 */
const STUCK_MS = 4_000;
const APPLYING = "applying_update";

/**
 * On iPhones the home-screen app has storage of its own, so what a tab holds is not what the basement needs. Only those say
 * `standalone: false`; elsewhere tab and installed app share one store.
 */
export function installed(): boolean {
  return (globalThis.navigator as (Navigator & { standalone?: boolean }) | undefined)?.standalone !== false;
}

/** This very build is whole in the cache and a worker serves it. */
export async function shellIsCached(): Promise<boolean> {
  if (!globalThis.navigator?.serviceWorker?.controller || !globalThis.caches) return false;
  if (!(await caches.has(CACHE))) return false;
  return (await (await caches.open(CACHE)).match(COMPLETE)) !== undefined;
}

export interface ShellWatch {
  /** Looks whether a newer shell is there. */
  check(): void;
  apply(): void;
}

/** Registers the worker. `onWaiting`: a newer shell is ready; `onChange`: the cache may have become whole. */
export function watchShell(onWaiting: () => void, onChange: () => void, onTrouble: (error: unknown) => void): ShellWatch {
  const container = globalThis.navigator?.serviceWorker;
  if (!container) return { check: () => undefined, apply: () => undefined };
  let registration: ServiceWorkerRegistration | null = null;
  let reloading = globalThis.sessionStorage?.getItem(APPLYING) === BUILD;
  globalThis.sessionStorage?.removeItem(APPLYING);
  let lookedMs = performance.now(); // the browser looks by itself when the page opens
  container.addEventListener("controllerchange", () => {
    if (reloading) location.reload();
    else onChange();
  });
  container.register(WORKER_URL, { scope: "/phone/", updateViaCache: "none" }).then((found) => {
    registration = found;
    if (found.waiting && container.controller) onWaiting();
    found.addEventListener("updatefound", () => {
      const coming = found.installing;
      coming?.addEventListener("statechange", () => {
        if (coming.state === "installed" && container.controller) onWaiting();
        onChange();
      });
    });
    onChange();
  }, onTrouble);
  return {
    check() {
      if (performance.now() - lookedMs < LOOK_AGAIN_MS) return;
      lookedMs = performance.now();
      void registration?.update().catch(() => undefined);
    },
    apply() {
      reloading = true; // only by the technician's word, and only now
      registration?.waiting?.postMessage("apply_update");
      setTimeout(() => {
        sessionStorage.setItem(APPLYING, BUILD);
        location.reload();
      }, STUCK_MS);
    },
  };
}
