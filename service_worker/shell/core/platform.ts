/** What the core needs from its surroundings, so that tests can stand in for a phone. */

export interface Platform {
  fetch: (url: string, init: RequestInit) => Promise<Response>;
  /** Milliseconds since 1970 by the phone's own clock, which may be wrong by hours. */
  now: () => number;
  randomBytes: (count: number) => Uint8Array;
  /** A number in [0, 1): jitter only. */
  random: () => number;
  later: (run: () => void, delayMs: number) => () => void;
  /** Runs `work` if no other tab holds the lock; false when one does. */
  alone: (name: string, work: () => Promise<void>) => Promise<boolean>;
  apiRoot: string;
  databaseName: string;
  /** A measure for the bench: from `startMs` to now. */
  mark: (name: string, startMs: number) => void;
  /** Calls `run` when the network may be back: `online`, or the screen came back. Returns how to stop. */
  onHope: (run: () => void) => () => void;
  /** Other windows of the same shell: tell them that something was saved, hear it from them. */
  windows: { tell: () => void; listen: (run: () => void) => () => void };
}

/** The real phone. */
export function browserPlatform(): Platform {
  return {
    fetch: (url, init) => fetch(url, init),
    now: () => Date.now(),
    randomBytes: (count) => crypto.getRandomValues(new Uint8Array(count)),
    random: () => Math.random(),
    later(run, delayMs) {
      const timer = setTimeout(run, delayMs);
      return () => clearTimeout(timer);
    },
    alone: lockOrAlone,
    apiRoot: "/api/v1/",
    databaseName: "undercroft",
    mark: (name, startMs) => void performance.measure(name, { start: startMs, end: performance.now() }),
    onHope,
    windows: otherWindows("undercroft"),
  };
}

function onHope(run: () => void): () => void {
  const seen = (): void => {
    if (document.visibilityState === "visible") run();
  };
  addEventListener("online", run);
  document.addEventListener("visibilitychange", seen);
  return () => {
    removeEventListener("online", run);
    document.removeEventListener("visibilitychange", seen);
  };
}

function otherWindows(name: string): Platform["windows"] {
  const channel = new BroadcastChannel(name);
  let open = true;
  return {
    tell: () => void (open && channel.postMessage("saved")),
    listen(run) {
      channel.onmessage = run;
      return () => {
        open = false;
        channel.close();
      };
    },
  };
}

async function lockOrAlone(name: string, work: () => Promise<void>): Promise<boolean> {
  if (!navigator.locks) {
    await work(); // an old engine without Web Locks: pushes are idempotent, so two tabs cost only traffic
    return true;
  }
  return navigator.locks.request(name, { ifAvailable: true }, async (lock) => {
    if (lock) await work();
    return lock !== null;
  });
}
