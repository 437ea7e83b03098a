/** A server of the sync contract in memory, with a place for each thing that can go wrong on the way. */
import type { EventEnvelope } from "../shell/core/schema";

export interface Call {
  method: string;
  path: string;
  body: unknown;
  bytes: ArrayBuffer | null;
  token: string | null;
}

export type Fault = (call: Call, answer: () => Promise<Response>) => Promise<Response>;

interface Stream {
  events: { seq: number; chain: string; received_at: string; event: EventEnvelope }[];
  salt: string;
}

export const PERSON = { id: "11111111-1111-7111-8111-111111111111", name: "Pat", role: "technician" };
export const SITE = "22222222-2222-7222-8222-222222222222";
export const JOB = "33333333-3333-7333-8333-333333333333";
export const OFFICE = "44444444-4444-7444-8444-444444444444";
export const PROCEDURE = { hash: "p1", name: "power_vent", title: "Power vent" };

export class FakeServer {
  epoch = "epoch-1";
  streams = new Map<string, Stream>();
  people = [{ id: PERSON.id, name: PERSON.name }];
  jobs = [{ job_id: JOB, site_id: SITE, technician_id: PERSON.id, state: "booked" }];
  photos = new Map<string, ArrayBuffer>();
  calls: Call[] = [];
  fault: Fault = (_call, answer) => answer();
  nowMs = Date.parse("2026-11-25T08:00:00Z");
  poison = new Set<string>();
  parted = new Set<string>();
  company: unknown = null;
  tokens = new Set(["token-1"]);

  constructor() {
    this.store(officeEvent(1, "address_given", { street: "12 Cellar Row", town: "Lowfield" }, null));
    this.store(officeEvent(2, "job_booked", {
      complaint: "no_hot_water", complaint_words: "no hot water", technician_id: PERSON.id, procedure_name: PROCEDURE.name, phone: "555-0101",
    }, JOB));
  }

  fetch = async (url: string, init: RequestInit): Promise<Response> => {
    const headers = init.headers as Record<string, string>;
    const call: Call = {
      method: init.method ?? "GET",
      path: url.replace(/^.*\/api\/v1\//, ""),
      body: typeof init.body === "string" ? (JSON.parse(init.body) as unknown) : null,
      bytes: init.body instanceof ArrayBuffer ? init.body : null,
      token: headers["Authorization"]?.replace("Bearer ", "") ?? null,
    };
    this.calls.push(call);
    return this.fault(call, () => this.answer(call, headers["If-None-Match"] ?? null));
  };

  /** Every stored event, by id. */
  all(): Map<string, EventEnvelope> {
    return new Map([...this.streams.values()].flatMap(({ events }) => events.map(({ event }) => [event.id, event] as const)));
  }

  store(event: EventEnvelope): "stored" | "duplicate" | "rejected" {
    const known = this.all().get(event.id);
    if (known) return JSON.stringify(known) === JSON.stringify(event) ? "duplicate" : "rejected";
    const stream = this.streams.get(event.site_id) ?? { events: [], salt: "" };
    const seq = stream.events.length + 1;
    stream.events.push({ seq, chain: `${stream.salt}${event.id}${seq}`, received_at: new Date(this.nowMs).toISOString(), event });
    this.streams.set(event.site_id, stream);
    return "stored";
  }

  private async answer(call: Call, etag: string | null): Promise<Response> {
    if (call.path === "enrol") return json(200, { token: "token-1", person: PERSON, epoch: this.epoch, server_time: this.time() });
    if (!call.token || !this.tokens.has(call.token)) return refuse(401, "token_unknown");
    if (call.path === "events") return this.push(call.body as { batch_id: string; events: EventEnvelope[] });
    if (call.path === "manifest") return this.manifest(etag);
    if (call.path === "company") return this.company ? json(200, this.company, { ETag: `"${JSON.stringify(this.company).length}"` }) : refuse(404, "not_found");
    if (call.path.startsWith("procedures/")) return json(200, PROCEDURE);
    if (call.path.startsWith("photos/")) return this.photo(call);
    return this.page(call.path);
  }

  private push(body: { batch_id: string; events: EventEnvelope[] }): Response {
    const results = body.events.map((event) =>
      this.poison.has(event.id) ? { id: event.id, status: "rejected", code: "bad_event", message: "no" } : this.result(event));
    return json(200, { batch_id: body.batch_id, results, heads: [], server_time: this.time() });
  }

  private result(event: EventEnvelope): { id: string; status: string; code?: string } {
    const status = this.store(event);
    return status === "rejected" ? { id: event.id, status, code: "id_reused" } : { id: event.id, status };
  }

  private manifest(etag: string | null): Response {
    const streams = [...this.streams].filter(([site_id]) => !this.parted.has(site_id)).map(([site_id, { events }]) => ({
      site_id, group_id: SITE, head: events.length, chain: events.at(-1)?.chain ?? "",
    }));
    const body = { epoch: this.epoch, person: PERSON, people: this.people, streams, jobs: this.jobs, procedures: [PROCEDURE.hash], photos: [...this.photos.keys()] };
    const tag = `"${JSON.stringify(body).length}-${streams.map(({ chain }) => chain).join()}-${this.epoch}"`;
    if (etag === tag) return new Response(null, { status: 304 });
    return json(200, { ...body, server_time: this.time() }, { ETag: tag });
  }

  private page(path: string): Response {
    const [, site = "", query = ""] = /^sites\/([^/]+)\/events\?(.*)$/.exec(path) ?? [];
    const asked = new URLSearchParams(query);
    const after = Number(asked.get("after"));
    const stream = this.streams.get(site) ?? { events: [], salt: "" };
    const chain = after === 0 ? "" : stream.events[after - 1]?.chain;
    if (chain !== asked.get("chain")) return refuse(409, "other_chain");
    const events = stream.events.slice(after, after + Number(asked.get("limit")));
    return json(200, { site_id: site, epoch: this.epoch, head: stream.events.length, chain: stream.events.at(-1)?.chain ?? "", events });
  }

  private photo({ method, path, bytes }: Call): Response {
    const sha256 = path.slice("photos/".length);
    if (method === "PUT") {
      if (![...this.all().values()].some((event) => event.body["sha256"] === sha256)) return refuse(404, "photo_not_named");
      const status = this.photos.has(sha256) ? 200 : 201;
      this.photos.set(sha256, bytes!);
      return json(status, { sha256 });
    }
    const found = this.photos.get(sha256);
    return found ? new Response(found, { headers: { "Content-Type": "image/jpeg" } }) : refuse(404, "not_found");
  }

  private time(): string {
    return new Date(this.nowMs).toISOString();
  }
}

export function officeEvent(n: number, kind: string, body: { [key: string]: unknown }, job_id: string | null, site_id = SITE): EventEnvelope {
  return {
    id: `00000000-0000-7000-8000-${String(n).padStart(12, "0")}`, site_id, job_id, person_id: OFFICE, device_id: OFFICE, dev_seq: n, lamport: n,
    at_wall: "2026-11-25T07:00:00.000Z", clock_offset: 0, kind, schema: 1, replaces: [], body,
  };
}

export function json(status: number, body: unknown, headers: Record<string, string> = {}): Response {
  return new Response(JSON.stringify(body), { status, headers: { "Content-Type": "application/json", ...headers } });
}

export function refuse(status: number, code: string): Response {
  return json(status, { code, message: code, details: {} });
}

export function html(status = 200): Response {
  return new Response("<html>Please sign in to this Wi-Fi</html>", { status, headers: { "Content-Type": "text/html" } });
}
