/** The phone's core: what the screens may ask, over the store, the queue and the engine. */
import { signal, type ReadonlySignal, type Signal } from "@preact/signals-core";
import { CoreError, type Core, type Draft, type JobCard, type JobView, type Photo, type QueueLine, type Readiness, type SavedAct } from "../core_types";
import { ENGINE_WORKER_URL } from "../generated/shell_assets";
import type { Context } from "./context";
import { Database } from "./db";
import { Engine, type EnginePort } from "./engine";
import { saveAct, FULL_WORDS } from "./events";
import { Log } from "./log";
import { queueFile, queueLine } from "./outbox";
import { browserPlatform, type Platform } from "./platform";
import { loadSettings, saveSettings } from "./settings";
import { refreshJob, storedView } from "./views";

const QUIET: QueueLine = { waiting: 0, parked: 0, waiting_since: null, sent_at: null, photos_waiting: 0, trouble: null };
const ADVICE_LIMIT_MS = 2_500; // an answer is saved long before; the screen then goes on without advice

export interface CoreOptions {
  platform?: Partial<Platform>;
  openEngine?: () => EnginePort;
}

export function createCore(options: CoreOptions = {}): PhoneCore {
  return new PhoneCore({ ...browserPlatform(), ...options.platform }, options.openEngine ?? openWorker);
}

function openWorker(): EnginePort {
  return new Worker(ENGINE_WORKER_URL, { type: "module" }) as EnginePort;
}

export class PhoneCore implements Core {
  readonly jobs: ReadonlySignal<JobCard[]>;
  readonly queue: ReadonlySignal<QueueLine>;
  readonly readiness: ReadonlySignal<Readiness>;
  readonly person: ReadonlySignal<{ id: string; name: string } | null>;
  readonly updateWaiting: ReadonlySignal<boolean>;
  readonly view: Signal<JobView | null> = signal(null);

  private readonly jobsNow = signal<JobCard[]>([]);
  private readonly queueNow = signal<QueueLine>(QUIET);
  private readonly readinessNow = signal<Readiness>({ ready: false, steps: [] });
  private readonly personNow = signal<{ id: string; name: string } | null>(null);
  private readonly updateNow = signal(false);
  private readonly context: Context;
  private openJobId: string | null = null;
  private trouble: QueueLine["trouble"] = null;

  constructor(platform: Platform, openEngine: () => EnginePort) {
    this.jobs = this.jobsNow;
    this.queue = this.queueNow;
    this.readiness = this.readinessNow;
    this.person = this.personNow;
    this.updateWaiting = this.updateNow;
    const db = new Database(platform.databaseName, (blocked) => this.setTrouble("update_blocked", blocked));
    const log = new Log(db, platform);
    const engine = new Engine(openEngine, platform.later, (code, words) => log.note(code, words));
    this.context = { db, log, engine, platform };
  }

  async start(): Promise<void> {
    const settings = await loadSettings(this.context.db, this.context.platform);
    this.personNow.value = settings.person;
    await this.repaint();
  }

  async openJob(jobId: string): Promise<JobView> {
    this.openJobId = jobId;
    const stored = await storedView(this.context, jobId);
    if (stored) {
      this.view.value = stored;
      void this.refreshView(jobId).catch((error: unknown) => this.context.log.error("refresh_failed", error));
      return stored;
    }
    return this.refreshView(jobId);
  }

  async act(jobId: string, drafts: Draft[], photo?: Photo): Promise<SavedAct> {
    const { platform, log } = this.context;
    const startMs = performance.now();
    const saved = await saveAct(this.context.db, platform, jobId, drafts, photo).catch((error: unknown) => {
      if (error instanceof CoreError && error.code === "disk_full") this.setTrouble("disk_full", true);
      throw error;
    });
    platform.mark("undercroft:durable", startMs);
    this.setTrouble("disk_full", saved.photoDropped);
    if (saved.photoDropped) log.note("photo_dropped", FULL_WORDS);
    const view = await this.viewAfterAct(jobId);
    platform.mark("undercroft:advised", startMs);
    void this.repaint();
    return { view, saved_at: saved.saved_wall };
  }

  async undoLast(jobId: string): Promise<SavedAct> {
    const undoable = (await storedView(this.context, jobId))?.undoable ?? [];
    if (undoable.length === 0) throw new CoreError("nothing_to_undo", "There is nothing left to undo here.");
    return this.act(jobId, [{ kind: "withdrawn", body: {}, replaces: undoable }]);
  }

  ask<T>(name: string, args: unknown): Promise<T> {
    return this.context.engine.call<T>(name, args);
  }

  async photoBytes(sha256: string): Promise<ArrayBuffer | null> {
    const row = await this.context.db.read(["photos"], (tx) => tx.objectStore("photos").get(sha256));
    return row?.bytes ?? null;
  }

  saveQueueToFile(): Promise<{ name: string; json: string }> {
    return queueFile(this.context);
  }

  async enrol(_code: string): Promise<void> {
    throw new CoreError("offline", "Signing in needs a signal.");
  }

  async signOut(): Promise<void> {
    await saveSettings(this.context.db, { token: null, person: null });
    this.personNow.value = null;
  }

  async syncNow(): Promise<void> {
    await this.repaint();
  }

  applyUpdate(): void {
    void navigator.serviceWorker?.getRegistration().then((found) => found?.waiting?.postMessage("apply_update"));
  }

  /** The record is saved; advice may be late. The screen is never kept waiting for the engine. */
  private async viewAfterAct(jobId: string): Promise<JobView> {
    const refreshed = this.refreshView(jobId).catch((error: unknown) => {
      this.context.log.error("refresh_failed", error);
      return null;
    });
    const late = new Promise<null>((resolve) => this.context.platform.later(() => resolve(null), ADVICE_LIMIT_MS));
    const view = (await Promise.race([refreshed, late])) ?? (await storedView(this.context, jobId));
    if (!view) throw new CoreError("engine_lost", "Saved on this phone. The rules did not start; open the job again.");
    return view;
  }

  private async refreshView(jobId: string): Promise<JobView> {
    await refreshJob(this.context, jobId);
    const view = await storedView(this.context, jobId);
    if (!view) throw new CoreError("job_unknown", "This job is not on this phone.");
    if (this.openJobId === jobId) this.view.value = view;
    return view;
  }

  private async repaint(): Promise<void> {
    const rows = await this.context.db.read(["jobs"], (tx) => tx.objectStore("jobs").getAll());
    this.jobsNow.value = rows.filter((row) => row.mine).map((row) => row.card).sort(byBooking);
    this.queueNow.value = await queueLine(this.context, this.trouble);
  }

  private setTrouble(trouble: NonNullable<QueueLine["trouble"]>, on: boolean): void {
    if (on) this.trouble = trouble;
    else if (this.trouble === trouble) this.trouble = null;
    this.queueNow.value = { ...this.queueNow.value, trouble: this.trouble };
  }
}

/** Open jobs first, then by the time of booking. */
function byBooking(a: JobCard, b: JobCard): number {
  const rank = { open: 0, booked: 1, closed: 2 };
  return rank[a.state] - rank[b.state] || (a.booked_at ?? "").localeCompare(b.booked_at ?? "") || (a.job_id < b.job_id ? -1 : 1);
}
