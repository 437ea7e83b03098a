/**
 * The service worker. It only caches: the shell's files, from the list with hashes that the build made, all or none of them.
 * It knows nothing of jobs, events or the API. It never takes over by itself: the technician says when, or the next start does.
 */
import { BUILD, PRECACHE } from "./generated/precache";

const worker = self as unknown as ServiceWorkerGlobalScope;
const PREFIX = "undercroft-shell-";
const CACHE = PREFIX + BUILD;
const SHELL = "/phone/";
/** What a browser that can takes out of the cache itself: a start does not wait until this worker is awake (docs/adr/0233). */
const ROUTED = [SHELL, `${SHELL}assets/*`, `${SHELL}manifest.webmanifest`];
/** Written last: a cache without it is half a shell. */
const COMPLETE = `${SHELL}complete`;

type Installing = ExtendableEvent & { addRoutes?(routes: { condition: { urlPattern: { pathname: string; search: string } }; source: { cacheName: string } }[]): Promise<void> };

worker.addEventListener("install", (event) => event.waitUntil(Promise.all([precache(), routeToCache(event)])));
worker.addEventListener("activate", (event) => event.waitUntil(takeOver()));
worker.addEventListener("message", (event) => {
  if (event.data === "apply_update") void worker.skipWaiting();
});
worker.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== worker.location.origin || url.pathname.startsWith("/api/")) return;
  if (event.request.mode !== "navigate") event.respondWith(fromCache(event.request));
  else if (url.pathname.startsWith(SHELL)) event.respondWith(fromCache(event.request, SHELL));
});

/** A sign-in page of somebody's Wi-Fi fails the hash, and with it the whole install: the old shell stays. */
async function precache(): Promise<void> {
  try {
    const cache = await caches.open(CACHE);
    await cache.addAll(PRECACHE.map(({ url, integrity }) => new Request(url, { integrity, cache: "no-cache", credentials: "omit" })));
    await cache.put(COMPLETE, new Response(BUILD));
  } catch (error) {
    await caches.delete(CACHE);
    throw error;
  }
}

async function takeOver(): Promise<void> {
  const old = (await caches.keys()).filter((name) => name.startsWith(PREFIX) && name !== CACHE);
  await Promise.all(old.map((name) => caches.delete(name)));
  await worker.clients.claim();
}

/** Static routes: without them, or where the cache has nothing, all goes by `fetch` and the network as it does below. */
async function routeToCache(event: Installing): Promise<void> {
  const routes = ROUTED.map((pathname) => ({ condition: { urlPattern: { pathname, search: "" } }, source: { cacheName: CACHE } }));
  await event.addRoutes?.(routes).catch(() => undefined);
}

/** This build's files and no other's; the network for what was never on the list. */
async function fromCache(request: Request, address: string = request.url): Promise<Response> {
  // Not caches.open(): an old worker's last answer would make its cache anew, just after the new one took it away.
  const kept = await caches.match(address, { cacheName: CACHE, ignoreSearch: address === SHELL, ignoreVary: true });
  return kept ?? fetch(request);
}
