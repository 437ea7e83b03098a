/** A core without store, queue or engine, for the tests of the screens: events in memory, the rules asked of the test server. */
import { signal, type Signal } from "@preact/signals-core";
import { addressFacts, saidOnly } from "../../shell/core/address_facts";
import { alarmsAt } from "../../shell/core/alarms";
import { dangerOf } from "../../shell/core/danger";
import { foundAt, foundElsewhere } from "../../shell/core/elsewhere";
import { andBefore } from "../../shell/core/events";
import { dangersToSay } from "../../shell/core/list";
import { CoreError, type Company, type Core, type Draft, type HistoryEntry, type JobCard, type JobView, type OwnThings, type Photo, type Procedure, type QueueLine, type Readiness, type Record_, type SavedAct, type UnsavedForm, type WalkAdvice } from "../../shell/core_types";

export const ME = { id: "00000000-0000-7000-8000-0000000000a1", name: "Rosa Lindqvist" };
export const OTHER = { id: "00000000-0000-7000-8000-0000000000a2", name: "Teodor Amsel" };
const DEVICE = "00000000-0000-7000-8000-0000000000d1";

interface Envelope {
  id: string; site_id: string; job_id: string | null; person_id: string; device_id: string; dev_seq: number; lamport: number;
  at_wall: string; clock_offset: null; kind: string; schema: number; replaces: string[]; body: { [key: string]: unknown };
}

export interface Scene {
  cards: JobCard[];
  /** earlier jobs of the address of a job, by its id */
  earlier: { [job: string]: { person: string; at: string; drafts: Draft[] }[] };
  procedure: Procedure;
  company: Company;
}

/** How often the rules were asked and how often they answered, and the address that the shell follows: a test goes on when nothing is owed. */
const calls = { begun: 0, ended: 0, hash: "" };

async function call<T>(name: string, args: unknown): Promise<T> {
  calls.begun += 1;
  try {
    const answer = (await (await fetch("/call/" + name, { method: "POST", body: JSON.stringify(args) })).json()) as { ok?: T; error?: { code: string; message: string } };
    if (answer.error) throw new CoreError(answer.error.code, answer.error.message);
    return answer.ok as T;
  } finally {
    calls.ended += 1;
  }
}

export class FakeCore implements Core {
  readonly jobs: Signal<JobCard[]>;
  readonly queue = signal<QueueLine>({ waiting: 0, refused: [], parked: 0, waiting_since: null, sent_at: new Date().toISOString(), photos_waiting: 0, trouble: null });
  readonly readiness = signal<Readiness>({ ready: true, steps: [
    { id: "installed", done: true, words: "On the home screen" }, { id: "signed_in", done: true, words: "Signed in" },
    { id: "shell", done: true, words: "The program itself is here" }, { id: "engine", done: true, words: "The rules are here" },
    { id: "jobs", done: true, words: "Jobs and histories are here" }, { id: "procedures", done: true, words: "The lists of checks are here" },
    { id: "company", done: true, words: "The company's sheets and numbers are here" }, { id: "persisted", done: true, words: "The phone has promised to keep it" },
  ] });
  readonly person = signal<{ id: string; name: string } | null>(ME);
  readonly updateWaiting = signal(false);
  readonly company: Signal<Company | null>;
  readonly own = signal<OwnThings>({ instruments: [], timers: [] });
  readonly view = signal<JobView | null>(null);
  /** the fault that the next act meets */
  failNext: CoreError | null = null;
  /** advice that never comes, as while the engine starts */
  engineAway = false;
  updated = 0;
  storeShut = false;
  readonly calls = calls;
  private readonly events = new Map<string, Envelope[]>();
  private readonly photos = new Map<string, ArrayBuffer>();
  private readonly undoable = new Map<string, string[]>();
  private seq = 0;

  constructor(private readonly scene: Scene) {
    this.jobs = signal(scene.cards);
    this.company = signal(scene.company);
  }

  async start(): Promise<void> {
    if (this.storeShut) throw new CoreError("update_blocked", "Another window is holding the old store.");
    await call("load_procedure", { procedure: this.scene.procedure });
  }

  async enrol(code: string): Promise<void> {
    if (code !== "LAMP7429") throw new CoreError("code_unknown", "unknown");
    this.person.value = ME;
  }

  async signOut(): Promise<void> {
    this.person.value = null;
  }

  async openJob(jobId: string): Promise<JobView> {
    const view = await this.fold(jobId);
    this.view.value = view;
    return view;
  }

  async act(jobId: string, drafts: Draft[], photo?: Photo): Promise<SavedAct> {
    const fault = this.failNext;
    this.failNext = null;
    if (fault) throw fault;
    if (photo) this.photos.set(photo.sha256, photo.bytes);
    const at = new Date().toISOString();
    const written = this.write(jobId, drafts, ME.id, at);
    this.undoable.set(jobId, drafts.every((draft) => draft.kind === "withdrawn") ? [] : written);
    this.queue.value = { ...this.queue.value, waiting: this.queue.value.waiting + drafts.length, waiting_since: this.queue.value.waiting_since ?? at };
    const view = await this.fold(jobId);
    this.view.value = view;
    this.jobs.value = this.jobs.value.map((card) => (card.job_id === jobId ? { ...view.card, office_not_told: view.record.office_not_told, due_out_wall: view.record.below?.due_out_wall ?? null, danger: dangersToSay(view.danger, view.record.heater_off) } : card));
    return { view, saved_at: new Date().toISOString() };
  }

  undoLast(jobId: string): Promise<SavedAct> {
    return this.act(jobId, [{ kind: "withdrawn", body: {}, replaces: this.undoable.get(jobId) ?? [] }]);
  }

  ask<T>(name: string, args: unknown): Promise<T> {
    return call<T>(name, args);
  }

  askOfJob<T>(jobId: string, name: string, args: { [key: string]: unknown } = {}): Promise<T> {
    return call<T>(name, { ...args, procedure_hash: this.scene.procedure.hash, events: this.events.get(jobId) ?? [], off_before: this.view.value?.facts.left_off ?? [], found: this.view.value?.facts.elsewhere ?? [] });
  }

  async photoBytes(sha256: string): Promise<ArrayBuffer | null> {
    return this.photos.get(sha256) ?? null;
  }

  async syncNow(): Promise<void> {
    this.queue.value = { ...this.queue.value, waiting: 0, waiting_since: null, sent_at: new Date().toISOString() };
  }

  async saveQueueToFile(): Promise<{ name: string; json: string }> {
    return { name: "undercroft-queue.json", json: "{}" };
  }

  async keepOwn(things: Partial<OwnThings>): Promise<void> {
    this.own.value = { ...this.own.value, ...things };
  }

  /** Kept over a new start of the page, as in the store. */
  async unsaved(person: string, job: string): Promise<UnsavedForm[]> {
    return Object.entries(sessionStorage).flatMap(([key, form]) => (key.startsWith(`unsaved ${person} ${job} `) ? [JSON.parse(form as string) as UnsavedForm] : []));
  }

  async keepUnsaved(person: string, job: string, href: string, form: UnsavedForm | null): Promise<void> {
    const key = `unsaved ${person} ${job} ${href}`;
    if (form) sessionStorage.setItem(key, JSON.stringify(form));
    else sessionStorage.removeItem(key);
  }

  applyUpdate(): void {
    this.updated += 1;
  }

  /** What somebody else wrote, come down by sync. */
  write(jobId: string, drafts: Draft[], person: string, at: string): string[] {
    const list = this.events.get(jobId) ?? [];
    this.events.set(jobId, list);
    const site = this.scene.cards.find((card) => card.job_id === jobId)?.site_id ?? "";
    return drafts.map((draft) => {
      this.seq += 1;
      const id = `019aaaaa-0000-7000-8000-${String(this.seq).padStart(12, "0")}`;
      list.push({ id, site_id: site, job_id: draft.job === null ? null : jobId, person_id: person, device_id: DEVICE, dev_seq: this.seq, lamport: list.length + 1, at_wall: at,
        clock_offset: null, kind: draft.kind, schema: draft.schema ?? 1, replaces: draft.whole ? andBefore(draft.replaces ?? [], list as never) : (draft.replaces ?? []), body: draft.body });
      return id;
    });
  }

  /** All events, in the order in which they were written. */
  written(): Envelope[] {
    return [...this.events.values()].flat().sort((a, b) => a.dev_seq - b.dev_seq);
  }

  /** What a store would have kept over a restart. */
  restore(written: Envelope[], undoable: string[]): void {
    for (const event of written) {
      const job = event.job_id ?? this.scene.cards.find((card) => card.site_id === event.site_id)?.job_id ?? "";
      this.events.set(job, [...(this.events.get(job) ?? []), event]);
    }
    this.undoable.clear();
    for (const { id, job_id } of written) if (job_id && undoable.includes(id)) this.undoable.set(job_id, undoable);
    this.view.value = null;
    this.seq = written.length;
  }

  private async fold(jobId: string): Promise<JobView> {
    const card = this.scene.cards.find((one) => one.job_id === jobId);
    if (!card) throw new CoreError("job_unknown", "This job is not on this phone.");
    const { procedure } = this.scene;
    const all = this.events.get(jobId) ?? [];
    const own = all.filter(({ job_id }) => job_id !== null); // as in the core: what was said of the address is in no job's record
    const history = await Promise.all((this.scene.earlier[jobId] ?? []).map((job, index) => this.foldEarlier(`${jobId.slice(0, -1)}${index + 5}`, job)));
    const others = new Map([...this.events].filter(([id]) => id !== jobId && id.slice(0, -1) === jobId.slice(0, -1))); // an address has ten ids
    const elsewhere = await foundAt({ others, knownMs: new Map() }, (events, name, more) => call(name, { procedure_hash: procedure.hash, events, ...more }));
    const idle = await saidOnly({ own, others }, (events) => call("fold_job", { events }));
    const facts = { ...addressFacts({ own, site: all.filter(({ job_id }) => job_id === null), others }, idle), elsewhere, calls: alarmsAt({ own, others }) };
    const { record, advice } = await call<{ record: Record_; advice: WalkAdvice }>("step", { procedure_hash: procedure.hash, events: own, off_before: facts.left_off, found: facts.elsewhere });
    return { card: { ...card, state: record.state }, record, procedure, advice: this.engineAway ? null : advice, history, facts, elsewhere: foundElsewhere({ advice: this.engineAway ? null : advice, facts }), danger: dangerOf(procedure, record, advice),
      undoable: this.undoable.get(jobId) ?? [], people: { [ME.id]: ME.name, [OTHER.id]: OTHER.name } };
  }

  private async foldEarlier(id: string, job: { person: string; at: string; drafts: Draft[] }): Promise<HistoryEntry> {
    if (!this.events.has(id)) this.write(id, job.drafts, job.person, job.at);
    return call<HistoryEntry>("history_entry", { procedure_hash: this.scene.procedure.hash, events: this.events.get(id) });
  }
}
