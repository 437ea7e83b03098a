/**
 * The gate over all traps: the real core of three phones against the real server over HTTP, through seeded faults.
 * Two phones are one technician's, on one job; the third is another's, with a job at the same address.
 * Driven by tests/service_worker/test_simulator.py, which checks the store afterwards: simulator.js CONFIG REPORT.
 */
import "fake-indexeddb/auto";
import { readFileSync, writeFileSync } from "node:fs";
import { createHash } from "node:crypto";
import type { Draft, Photo } from "../shell/core_types";
import { mulberry32, Phone } from "./phone";
import { realEngine, type EngineFiles } from "./real_engine";
import { Wire } from "./wire";

interface World {
  seed: number;
  site_id: string;
  /** enrolment code and job of each phone */
  phones: { code: string; job_id: string }[];
  restore: boolean;
  steps: number;
}

interface Config {
  base_url: string;
  engine: EngineFiles;
  worlds: World[];
}

interface Report {
  seed: number;
  restores: number;
  faults: { [kind: string]: number };
  phones: { device_id: unknown; saved: string[]; outbox: unknown[]; photos: string[]; events: unknown[]; log: string[]; records: { [job: string]: unknown } }[];
}

const NINE_HOURS_MS = 9 * 3_600_000;
const CHECKS = ["sensing_tube", "vent_warmth", "terminal", "elbows", "limit"];

class Simulation {
  private readonly phones: Phone[] = [];
  private readonly wires: Wire[] = [];
  private readonly saved: string[][] = [];
  private readonly chance: () => number;
  private restores = 0;

  constructor(private readonly config: Config, private readonly world: World, private readonly engine: Phone["engine"]) {
    this.chance = mulberry32(world.seed);
  }

  async run(): Promise<Report> {
    await this.enrolAll();
    const restoreAt = this.world.restore ? Math.floor(this.world.steps * 0.7) : -1;
    for (let step = 0; step < this.world.steps; step++) {
      if (this.world.restore && step === Math.floor(restoreAt / 2)) await this.control("backup");
      if (step === restoreAt) await this.restoreServer();
      await this.step();
    }
    await this.settle();
    return this.report();
  }

  private async enrolAll(): Promise<void> {
    for (const [i, { code }] of this.world.phones.entries()) {
      const wire = new Wire(this.config.base_url, mulberry32(this.world.seed * 31 + i));
      const phone = new Phone(wire.fetch, this.world.seed * 97 + i);
      phone.engine = this.engine;
      phone.nowMs = Date.now();
      this.phones.push(phone);
      this.wires.push(wire);
      this.saved.push([]);
      phone.online = false;
      await phone.core.start();
      await phone.core.enrol(code);
      await this.syncOne(i);
      wire.faulty = true;
    }
  }

  private async step(): Promise<void> {
    const i = this.pick(this.phones.length);
    this.phones[i]!.nowMs += this.pick(60_000);
    const dice = this.chance();
    if (dice < 0.45) await this.act(i);
    else if (dice < 0.52) await this.undo(i);
    else if (dice < 0.57) await this.correct(i);
    else if (dice < 0.61) await this.actAndDie(i);
    else if (dice < 0.65) await this.phones[i]!.restart();
    else if (dice < 0.7) this.phones[i]!.nowMs += (this.chance() * 2 - 1) * NINE_HOURS_MS;
    else if (dice < 0.74) await this.wires[i]!.deliverLate();
    else if (dice < 0.79) await Promise.all([this.syncOne(0), this.syncOne(1), this.syncOne(2)]);
    else if (dice < 0.85) await Promise.all([this.syncOne(i), this.act(i)]);
    else await this.syncOne(i);
  }

  private async act(i: number): Promise<void> {
    const drafts = Array.from({ length: 1 + this.pick(3) }, () => this.draft());
    const photo = this.chance() < 0.2 ? this.photo() : null;
    if (photo) drafts.push(shot(photo));
    await this.save(i, drafts, photo ?? undefined);
  }

  private async save(i: number, drafts: Draft[], photo?: Photo): Promise<void> {
    const before = new Set(await this.ownIds(i));
    await this.phones[i]!.core.act(this.jobOf(i), drafts, photo);
    this.saved[i]!.push(...(await this.ownIds(i)).filter((id) => !before.has(id)));
  }

  private async undo(i: number): Promise<void> {
    const before = new Set(await this.ownIds(i));
    await this.phones[i]!.core.undoLast(this.jobOf(i)).catch((error: { code?: string }) => {
      if (error.code !== "nothing_to_undo") throw error;
    });
    this.saved[i]!.push(...(await this.ownIds(i)).filter((id) => !before.has(id)));
  }

  private async correct(i: number): Promise<void> {
    const own = this.saved[i]!;
    if (own.length > 0) await this.save(i, [{ ...this.draft(), replaces: [own[this.pick(own.length)]!] }]);
  }

  /** The process dies somewhere in the act: what it had saved by then is nobody's promise, but must be whole. */
  private async actAndDie(i: number): Promise<void> {
    const phone = this.phones[i]!;
    void phone.core.act(this.jobOf(i), [this.draft(), this.draft()]).catch(() => undefined);
    for (let tick = this.pick(6); tick > 0; tick--) await new Promise((done) => setTimeout(done, 0));
    await phone.restart();
  }

  private async syncOne(i: number): Promise<void> {
    const phone = this.phones[i]!;
    const wire = this.wires[i]!;
    phone.online = true;
    const died = wire.untilDeath();
    const ended = await Promise.race([phone.core.syncNow().then(() => "ended"), died]);
    phone.online = false;
    if (ended === "died") await phone.restart();
  }

  private async restoreServer(): Promise<void> {
    this.restores += 1;
    await this.control("restore");
  }

  private async control(word: "backup" | "restore"): Promise<void> {
    const answer = await fetch(`${this.config.base_url}/control/${word}`, { method: "POST" });
    if (!answer.ok) throw new Error(`control ${word}: ${answer.status}`);
  }

  /** The faults end; late requests arrive; everybody syncs until nothing moves. */
  private async settle(): Promise<void> {
    for (const wire of this.wires) {
      wire.faulty = false;
      await wire.deliverLate();
    }
    for (let round = 0; round < 4; round++) for (const i of this.phones.keys()) await this.syncOne(i);
  }

  private async report(): Promise<Report> {
    const phones = await Promise.all(this.phones.map(async (phone, i) => ({
      device_id: await phone.setting("device_id"),
      saved: this.saved[i]!,
      outbox: (await phone.rows("outbox")).map(({ id, state, code }) => ({ id, state, code })),
      photos: (await phone.rows("photos")).filter(({ state }) => state === "waiting" || state === "parked").map(({ sha256, state }) => `${state} ${sha256}`),
      events: (await phone.rows("events")).map(({ event }) => event),
      log: (await phone.rows("log")).map(({ code, words }) => `${code} ${words}`),
      records: Object.fromEntries((await phone.rows("jobs")).map(({ job_id, record }) => [job_id, record])),
    })));
    this.phones.forEach((phone) => phone.kill());
    const faults: Report["faults"] = {};
    for (const wire of this.wires) for (const [kind, count] of wire.counts) faults[kind] = (faults[kind] ?? 0) + count;
    return { seed: this.world.seed, restores: this.restores, faults, phones };
  }

  private draft(): Draft {
    const check = CHECKS[this.pick(CHECKS.length)]!;
    const n = this.pick(1_000);
    const drafts: Draft[] = [
      { kind: "check_answered", body: { check, outcome: ["fine", "bad"][n % 2], could_not: null } },
      { kind: "reading_taken", body: { check, quantity: "suction_in_wc", value: -n / 1_000 } },
      { kind: "note", body: { words: `note ${n} é` } },
      { kind: "hunch", body: { cause: "restricted_vent" } },
      { kind: "sheet_number", job: null, body: { quantity: "make_point_in_wc", value: -0.5, where: "plate" } },
      { kind: "kind_of_tomorrow", schema: 3, body: { n } },
    ];
    return drafts[this.pick(drafts.length)]!;
  }

  private photo(): Photo {
    const bytes = Uint8Array.from({ length: 2_000 }, (_, i) => (i < 3 ? [0xff, 0xd8, 0xff][i]! : this.pick(256)));
    return { bytes: bytes.buffer, sha256: createHash("sha256").update(bytes).digest("hex"), width_px: 40, height_px: 30 };
  }

  private async ownIds(i: number): Promise<string[]> {
    return (await this.phones[i]!.rows("events")).filter(({ own }) => own).map(({ id }) => id);
  }

  private jobOf(i: number): string {
    return this.world.phones[i]!.job_id;
  }

  private pick(below: number): number {
    return Math.floor(this.chance() * below);
  }
}

function shot({ sha256, bytes }: Photo): Draft {
  return { kind: "photo_taken", body: { sha256, length_bytes: bytes.byteLength, media_type: "image/jpeg", width_px: 40, height_px: 30, check: null } };
}

async function main(): Promise<void> {
  const config = JSON.parse(readFileSync(process.argv[2] ?? "", "utf8")) as Config;
  const engine = await realEngine(config.engine);
  const reports: Report[] = [];
  for (const world of config.worlds) {
    try {
      reports.push(await new Simulation(config, world, engine).run());
    } catch (error) {
      console.error(`SEED ${world.seed} failed in the simulator: ${error instanceof Error ? error.stack : String(error)}`);
      process.exit(1);
    }
  }
  writeFileSync(process.argv[3] ?? "", JSON.stringify(reports));
  process.exit(0);
}

void main();
