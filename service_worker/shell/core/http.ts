/** One request to the API and what its answer counts for. Only JSON from our own server is believed. */
import type { Platform } from "./platform";

export type Reply =
  | { kind: "json"; status: number; body: unknown; etag: string | null }
  | { kind: "bytes"; bytes: ArrayBuffer; mediaType: string }
  | { kind: "unchanged" }
  /** the server says no: its own error document */
  | { kind: "error"; status: number; code: string; message: string; retryAfterMs: number }
  | { kind: "offline" }
  /** something else answered: a sign-in page, a proxy */
  | { kind: "captive" };

export interface Request {
  method?: "GET" | "POST" | "PUT";
  token?: string | null;
  body?: string | ArrayBuffer;
  contentType?: string;
  etag?: string | null;
  limitMs?: number;
  /** the answer wanted is this kind of bytes, not JSON */
  wants?: "image/";
}

const LIMIT_MS = 20_000;
const RETRY_AFTER_LIMIT_S = 3_600;

export async function request(platform: Platform, path: string, wish: Request = {}): Promise<Reply> {
  const stopper = new AbortController();
  const cancel = platform.later(() => stopper.abort(), wish.limitMs ?? LIMIT_MS);
  try {
    const response = await platform.fetch(platform.apiRoot + path, init(wish, stopper.signal));
    return await read(response, wish); // inside the limit: a server can hang in mid-answer too
  } catch {
    return { kind: "offline" };
  } finally {
    cancel();
  }
}

function init(wish: Request, signal: AbortSignal): RequestInit {
  const headers: Record<string, string> = { Accept: wish.wants ? `${wish.wants}*` : "application/json" };
  if (wish.token) headers["Authorization"] = `Bearer ${wish.token}`;
  if (wish.etag) headers["If-None-Match"] = wish.etag;
  if (wish.body !== undefined) headers["Content-Type"] = wish.contentType ?? "application/json";
  return {
    method: wish.method ?? "GET",
    headers,
    body: wish.body ?? null,
    signal,
    credentials: "omit",
    cache: "no-store", // conditional requests are ours: the browser's cache would hide the 304
  };
}

async function read(response: Response, wish: Request): Promise<Reply> {
  if (response.status === 304) return wish.etag ? { kind: "unchanged" } : { kind: "captive" };
  const mediaType = response.headers.get("Content-Type") ?? "";
  if (wish.wants && response.ok && mediaType.startsWith(wish.wants)) {
    return { kind: "bytes", bytes: await response.arrayBuffer(), mediaType };
  }
  const text = await response.text();
  const body = mediaType.includes("json") ? parse(text) : undefined;
  if (response.ok) return body === undefined ? { kind: "captive" } : { kind: "json", status: response.status, body, etag: response.headers.get("ETag") };
  const { code, message } = (body ?? {}) as { code?: unknown; message?: unknown };
  if (typeof code === "string") {
    return { kind: "error", status: response.status, code, message: String(message ?? ""), retryAfterMs: retryAfterMs(response) };
  }
  // No document of ours: 5xx is a proxy before a sleeping server, anything else is somebody else's page.
  return response.status >= 500 && response.status !== 511
    ? { kind: "error", status: response.status, code: "server", message: "", retryAfterMs: retryAfterMs(response) }
    : { kind: "captive" };
}

function parse(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

function retryAfterMs(response: Response): number {
  const seconds = Number(response.headers.get("Retry-After") ?? 0);
  return Number.isFinite(seconds) ? Math.min(Math.max(seconds, 0), RETRY_AFTER_LIMIT_S) * 1_000 : 0;
}
