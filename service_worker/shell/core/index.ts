/** The phone's core: what the screens may ask, over the store, the queue and the engine. */
import { batch, signal, type Signal } from "@preact/signals-core";
import { CoreError, type Company, type Core, type Draft, type JobCard, type JobView, type OwnThings, type Photo, type QueueLine, type Readiness, type SavedAct, type UnsavedForm } from "../core_types";
import { BUILD, ENGINE_WORKER_URL } from "../generated/shell_assets";
import { loadCompany } from "./company";
import type { Context } from "./context";
import { sameJson } from "./checks";
import { Database } from "./db";
import { Drain } from "./drain";
import { Engine, type EnginePort } from "./engine";
import { enrol } from "./enrol";
import { saveAct, FULL_WORDS } from "./events";
import { jobList } from "./list";
import { Log, aside } from "./log";
import { offerRefusedAgain, offerRefusedPhotosAgain } from "./offer";
import { OpenView } from "./open_view";
import { queueFile, queueLine } from "./outbox";
import { keepOwn, loadOwn, NOTHING_OWN } from "./own_things";
import { browserPlatform, type Platform } from "./platform";
import { askToPersist, readiness, tryEngine } from "./readiness";
import type { JobRow } from "./schema";
import { getSetting, loadSettings, putSettings, saveSettings, type Person } from "./settings";
import { watchShell, type ShellWatch } from "./shell_state";
import { syncRound, type Round } from "./sync";
import { keepUnsaved, readUnsaved } from "./unsaved";
import { askOfJob, foldAhead, isOfThisBuild, refreshJob, undoDrafts } from "./views";

const QUIET: QueueLine = { waiting: 0, refused: [], parked: 0, waiting_since: null, sent_at: null, photos_waiting: 0, trouble: null };
const BLOCKED_WAIT_MS = 2_000;
/** What the screen just asked for is painted by then, on a slow phone too: the first list, the next check. */
const PAINTED_MS = 150;

export interface CoreOptions {
  platform?: Platform;
  openEngine?: () => EnginePort;
  /** only tests ask for another version than this shell's */
  databaseVersion?: number;
}

export function createCore(options: CoreOptions = {}): PhoneCore {
  return new PhoneCore(options.platform ?? browserPlatform(), options.openEngine ?? openWorker, options.databaseVersion);
}

function openWorker(): EnginePort {
  return new Worker(ENGINE_WORKER_URL, { type: "module" }) as EnginePort;
}

export class PhoneCore implements Core {
  readonly jobs = signal<JobCard[]>([]);
  readonly queue = signal<QueueLine>(QUIET);
  readonly readiness = signal<Readiness>({ ready: false, steps: [] });
  readonly person = signal<{ id: string; name: string } | null>(null);
  readonly updateWaiting = signal(false);
  readonly company = signal<Company | null>(null);
  readonly own = signal<OwnThings>(NOTHING_OWN);
  readonly view: Signal<JobView | null> = signal(null);

  private readonly context: Context;
  private readonly open: OpenView;
  private readonly drain: Drain;
  private shell: ShellWatch | null = null;
  private storeTrouble: QueueLine["trouble"] = null;
  private syncTrouble: QueueLine["trouble"] = null;
  private readonly endings: (() => void)[] = [];

  constructor(platform: Platform, openEngine: () => EnginePort, databaseVersion?: number) {
    const db = new Database(platform.databaseName, (blocked) => this.setStoreTrouble("update_blocked", blocked), databaseVersion);
    const log = new Log(db, platform);
    const engine = new Engine(openEngine, platform.later, (code, words) => log.note(code, words));
    this.context = { db, log, engine, platform, openJobId: null, procedures: new Map(), people: null };
    this.open = new OpenView(this.context, this.view);
    this.drain = new Drain(platform, () => this.round());
  }

  async start(): Promise<void> {
    await this.begin().catch((error: unknown) => {
      if (!(error instanceof CoreError && error.code === "update_blocked")) throw error;
      this.context.platform.later(() => aside(this.context, this.start(), "not_started"), BLOCKED_WAIT_MS); // the queue line says why nothing is here yet
    });
  }

  private async begin(): Promise<void> {
    const { db, platform } = this.context;
    const [settings, list] = await Promise.all([loadSettings(db, platform), this.readList()]);
    this.showPerson(settings.person);
    if (settings.paused) this.syncTrouble = settings.paused;
    this.showList(list);
    if (settings.build !== BUILD) await this.welcomeBuild().then(() => this.repaint());
    this.endings.push(platform.later(() => this.goOn(list[0]), PAINTED_MS)); // the list is on the screen before anything else is begun
  }

  /** What the first screen does not wait for. */
  private goOn(rows: JobRow[]): void {
    const { platform, log } = this.context;
    this.shell = watchShell(
      () => (this.updateWaiting.value = true),
      () => aside(this.context, this.showReadiness(), "not_shown"),
      (error) => log.error("worker_not_registered", error),
    );
    this.endings.push(platform.onHope(() => this.drain.hope()), platform.windows.listen(() => aside(this.context, this.hearOthers(), "not_shown")));
    aside(this.context, this.showReadiness(), "not_shown");
    aside(this.context, this.showKept(), "not_shown");
    aside(this.context, this.foldAnew(rows.filter((row) => row.card.state === "open" && !isOfThisBuild(row))), "not_shown");
    aside(this.context, this.drain.kick(), "sync_failed");
  }

  /** After an update: what an older build folded may not say what is dangerous, and the list must not wait until the job is opened. */
  private async foldAnew(older: JobRow[]): Promise<void> {
    for (const { job_id } of older) {
      const fresh = await refreshJob(this.context, job_id).catch((error: unknown) => void this.context.log.error("refresh_failed", error));
      await fresh?.kept;
    }
    if (older.length > 0) await this.repaint();
  }

  /** For tests and for closing windows: nothing runs afterwards. */
  stop(): void {
    this.endings.forEach((end) => end());
    this.drain.stop();
    this.context.engine.stop();
    this.context.db.close();
  }

  async enrol(code: string): Promise<void> {
    const { device_id } = await loadSettings(this.context.db, this.context.platform);
    this.person.value = await enrol(this.context, code, device_id);
    this.syncTrouble = null;
    await this.repaint();
    aside(this.context, askToPersist(this.context).then(() => this.showReadiness()), "not_shown");
    this.drain.hope();
  }

  async signOut(): Promise<void> {
    await saveSettings(this.context.db, { token: null, person: null, paused: null });
    this.person.value = null;
    this.view.value = null;
    this.context.openJobId = null;
    await this.repaint();
    await this.showReadiness();
  }

  openJob(jobId: string): Promise<JobView> {
    return this.open.openJob(jobId);
  }

  async act(jobId: string, drafts: Draft[], photo?: Photo): Promise<SavedAct> {
    const { db, platform, log } = this.context;
    const startMs = performance.now();
    let ahead: Promise<JobRow | null> = Promise.resolve(null);
    const atAddress = drafts.some(({ job, kind }) => job === null || kind === "appliance_described"); // then the whole address is read again
    const saved = await saveAct(db, platform, jobId, drafts, photo, (row, own) => {
      if (!atAddress) ahead = foldAhead(this.context, row, own).catch(() => null); // then it is folded from the store
    }).catch((error: unknown) => {
      if (error instanceof CoreError && error.code === "disk_full") this.setStoreTrouble("disk_full", true);
      throw error;
    });
    platform.mark("undercroft:durable", startMs);
    this.setStoreTrouble("disk_full", saved.photoDropped);
    if (saved.photoDropped) log.note("photo_dropped", FULL_WORDS);
    platform.windows.tell();
    try {
      const view = await this.open.afterAct(jobId, ahead);
      platform.mark("undercroft:advised", startMs);
      return { view, saved_at: saved.saved_wall };
    } finally {
      platform.later(() => aside(this.context, this.repaint(), "not_shown"), PAINTED_MS); // list and queue after the next check
      this.drain.nudge(); // it is saved, so it goes out, even where there is nothing to show
    }
  }

  async undoLast(jobId: string): Promise<SavedAct> {
    return this.act(jobId, await undoDrafts(this.context, jobId));
  }

  ask<T>(name: string, args: unknown): Promise<T> {
    return this.context.engine.call<T>(name, args);
  }

  askOfJob<T>(jobId: string, name: string, args: { [key: string]: unknown } = {}): Promise<T> {
    return askOfJob<T>(this.context, jobId, name, args);
  }

  async photoBytes(sha256: string): Promise<ArrayBuffer | null> {
    const row = await this.context.db.read(["photos"], (tx) => tx.objectStore("photos").get(sha256));
    return row?.bytes ?? null;
  }

  async keepOwn(things: Partial<OwnThings>): Promise<void> {
    this.own.value = await keepOwn(this.context.db, things);
    this.context.platform.windows.tell();
  }

  unsaved(person: string, job: string): Promise<UnsavedForm[]> {
    return readUnsaved(this.context.db, person, job);
  }

  async keepUnsaved(person: string, job: string, href: string, form: UnsavedForm | null): Promise<void> {
    await keepUnsaved(this.context.db, person, job, href, form);
  }

  async syncNow(): Promise<void> {
    await this.drain.kick();
  }

  saveQueueToFile(): Promise<{ name: string; json: string }> {
    return queueFile(this.context);
  }

  applyUpdate(): void {
    this.shell?.apply();
  }

  private async round(): Promise<Round> {
    const { log, platform } = this.context;
    const round = await syncRound(this.context).catch((error: unknown) => failedRound(log, error));
    this.syncTrouble = round.trouble;
    await this.showRound().catch((error: unknown) => log.error("not_shown", error));
    if (!round.failed) this.shell?.check();
    platform.windows.tell();
    return round;
  }

  /** What the round has changed, on screen. */
  private async showRound(): Promise<void> {
    const { db, log, openJobId } = this.context;
    await tryEngine(this.context).catch((error: unknown) => log.error("engine_not_ready", error));
    this.showPerson(await db.read(["settings"], (tx) => getSetting(tx, "person")));
    await this.repaint();
    await this.showKept();
    if (openJobId) await this.open.refresh(openJobId).catch((error: unknown) => log.error("refresh_failed", error));
    await this.showReadiness();
  }

  /** A new shell may be able to send what an old one could not. */
  private async welcomeBuild(): Promise<void> {
    await this.context.db.write(["settings", "outbox", "photos"], async (tx) => {
      await offerRefusedAgain(tx, ["parked"]);
      await offerRefusedPhotosAgain(tx);
      await putSettings(tx, { build: BUILD });
    });
  }

  private async hearOthers(): Promise<void> {
    await this.repaint();
    await this.showKept();
    if (this.context.openJobId) await this.open.refresh(this.context.openJobId).catch(() => undefined);
  }

  private async repaint(): Promise<void> {
    this.showList(await this.readList());
  }

  private readList(): Promise<[JobRow[], QueueLine]> {
    return Promise.all([this.context.db.read(["jobs"], (tx) => tx.objectStore("jobs").getAll()), queueLine(this.context)]);
  }

  private showList([rows, queue]: [JobRow[], QueueLine]): void {
    const whose = this.person.value?.id;
    batch(() => {
      this.jobs.value = jobList(rows.filter(({ person_id }) => person_id === whose));
      this.queue.value = { ...queue, trouble: this.storeTrouble ?? this.syncTrouble };
    });
  }

  private async showKept(): Promise<void> {
    const [company, own] = await Promise.all([loadCompany(this.context.db), loadOwn(this.context.db)]);
    if (!sameJson(company, this.company.value)) this.company.value = company;
    if (!sameJson(own, this.own.value)) this.own.value = own;
  }

  private showPerson(person: Person | null): void {
    if (person?.id !== this.person.value?.id || person?.name !== this.person.value?.name) this.person.value = person;
  }

  private async showReadiness(): Promise<void> {
    this.readiness.value = await readiness(this.context);
  }

  private setStoreTrouble(trouble: "disk_full" | "update_blocked", on: boolean): void {
    if (on === (this.storeTrouble === trouble)) return;
    this.storeTrouble = on ? trouble : null;
    this.queue.value = { ...this.queue.value, trouble: this.storeTrouble ?? this.syncTrouble };
  }
}

function failedRound(log: Log, error: unknown): Round {
  log.error("sync_failed", error);
  return { failed: true, retryAfterMs: 0, trouble: "server" };
}
