/** Saved means on the disk: one strict transaction, counters without holes, text before photos. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { CoreError, type Draft, type Photo } from "../shell/core_types";
import { uuid7 } from "../shell/core/ids";
import { FakeServer, JOB, officeEvent } from "./fake_server";
import { Phone, readyPhone } from "./phone";
import { until } from "./steps";

const LOOK: Draft = { kind: "check_answered", body: { check: "tube", outcome: "seated", could_not: null } };
const PHOTO: Photo = { bytes: new Uint8Array([1, 2, 3]).buffer, sha256: "ab".repeat(32), width_px: 4, height_px: 3 };
const SHOT: Draft = { kind: "photo_taken", body: { sha256: PHOTO.sha256, length_bytes: 3, media_type: "image/jpeg", width_px: 4, height_px: 3, check: null } };

function isCode(code: string): (error: unknown) => boolean {
  return (error) => error instanceof CoreError && error.code === code;
}

/** Runs `work` while every transaction that is opened passes through `look`. */
async function watching<T>(look: (tx: IDBTransaction) => void, work: () => Promise<T>): Promise<T> {
  const original = IDBDatabase.prototype.transaction;
  IDBDatabase.prototype.transaction = function (...args: Parameters<typeof original>) {
    const tx = original.apply(this, args);
    look(tx);
    return tx;
  };
  try {
    return await work();
  } finally {
    IDBDatabase.prototype.transaction = original;
  }
}

/** The disk refuses any write of a photo's bytes, at the commit, after the request itself has succeeded. */
function refusing(stores: string[]): (tx: IDBTransaction) => void {
  return (tx) => {
    if (tx.mode !== "readwrite" || !stores.some((store) => tx.objectStoreNames.contains(store))) return;
    const original = tx.objectStore.bind(tx);
    tx.objectStore = (name: string) => {
      const store = original(name);
      if (stores.includes(name)) {
        const write = (): IDBRequest<IDBValidKey> => {
          throw new DOMException("full", "QuotaExceededError");
        };
        store.put = write;
        store.add = write;
      }
      return store;
    };
  };
}

test("an id is the example of RFC 9562, appendix A.6, for its time and its random bits", () => {
  // 017F22E2-79B0-7CC3-98C4-DC0C0C07398F: 2022-02-22 19:22:22 UTC; rand_a 0xCC3, rand_b 0x18C4DC0C0C07398F
  const random = new Uint8Array([0x0c, 0xc3, 0x18, 0xc4, 0xdc, 0x0c, 0x0c, 0x07, 0x39, 0x8f]);
  assert.equal(uuid7(0x017f22e279b0, random), "017f22e2-79b0-7cc3-98c4-dc0c0c07398f");
});

test("what an act saves is written strictly; only the view, which can be made again, may wait for the disk", async () => {
  const phone = await readyPhone(new FakeServer());
  const strict = new Set<string>();
  const relaxed = new Set<string>();
  const look = (tx: IDBTransaction): void => {
    if (tx.mode === "readwrite") [...tx.objectStoreNames].forEach((name) => (tx.durability === "strict" ? strict : relaxed).add(name));
  };
  await watching(look, () => phone.core.act(JOB, [SHOT], PHOTO));
  for (const store of ["events", "outbox", "photos", "settings"]) {
    assert.ok(strict.has(store), store);
    assert.ok(!relaxed.has(store), store);
  }
  assert.deepEqual([...relaxed], ["jobs"]);
});

test("event, photo and outbox row are in one transaction", async () => {
  const phone = await readyPhone(new FakeServer());
  const sets: string[][] = [];
  await watching((tx) => void (tx.mode === "readwrite" && sets.push([...tx.objectStoreNames])), () => phone.core.act(JOB, [SHOT], PHOTO));
  const act = sets.filter((names) => names.includes("outbox") && names.includes("photos") && names.includes("events"));
  assert.equal(act.length, 1);
});

test("an act resolves only after its transaction has completed", async () => {
  const phone = await readyPhone(new FakeServer());
  let complete = false;
  await watching((tx) => {
    if (tx.objectStoreNames.contains("outbox")) tx.addEventListener("complete", () => (complete = true));
  }, async () => {
    await phone.core.act(JOB, [LOOK]);
    assert.ok(complete);
  });
});

test("an act asks the disk at once for all that it reads", async () => {
  const phone = await readyPhone(new FakeServer());
  const turns: string[] = [];
  await watching((tx) => {
    if (tx.durability !== "strict") return;
    const original = tx.objectStore.bind(tx);
    tx.objectStore = (name: string) => {
      const store = original(name);
      const get = store.get.bind(store);
      store.get = (key) => {
        turns.push("asked");
        const request = get(key);
        request.addEventListener("success", () => turns.push("answered"));
        return request as IDBRequest<unknown>;
      };
      return store;
    };
  }, () => phone.core.act(JOB, [LOOK]));
  assert.ok(turns.length > 0);
  assert.equal(turns.lastIndexOf("asked") + 1, turns.indexOf("answered"));
});

test("dev_seq counts 1, 2, 3 without a hole, also over a restart and a refused act", async () => {
  const phone = await readyPhone(new FakeServer());
  await phone.core.act(JOB, [LOOK, LOOK]);
  await assert.rejects(phone.core.act("no-such-job", [LOOK]), isCode("job_unknown"));
  await phone.restart();
  await Promise.all([phone.core.act(JOB, [LOOK]), phone.core.act(JOB, [LOOK])]);
  const own = (await phone.rows("events")).filter((row) => row.own).map((row) => row.event.dev_seq);
  assert.deepEqual(own.sort(), [1, 2, 3, 4]);
});

test("lamport is one more than the highest known for the job, whatever the clock says", async () => {
  const server = new FakeServer();
  const phone = await readyPhone(server); // job_booked has lamport 2
  phone.nowMs -= 9 * 3_600_000;
  await phone.core.act(JOB, [LOOK, LOOK]);
  const own = (await phone.rows("events")).filter((row) => row.own).map((row) => row.event.lamport);
  assert.deepEqual(own.sort(), [3, 4]);
});

test("what belongs to the address counts within the address", async () => {
  const phone = await readyPhone(new FakeServer()); // address_given has lamport 1
  await phone.core.act(JOB, [LOOK, { kind: "sheet_number", job: null, body: { quantity: "make_point_in_wc", value: -1, where: "plate" } }]);
  const row = (await phone.rows("events")).find(({ event }) => event.kind === "sheet_number");
  assert.equal(row?.event.job_id, null);
  assert.equal(row?.event.lamport, 2);
});

test("a photo that the disk refuses is dropped, and the text is saved without the event that names it", async () => {
  const phone = await readyPhone(new FakeServer());
  phone.fetch = () => Promise.reject(new TypeError("offline"));
  await watching(refusing(["photos"]), () => phone.core.act(JOB, [LOOK, SHOT], PHOTO));
  const own = (await phone.rows("events")).filter((row) => row.own).map((row) => row.event.kind);
  assert.deepEqual(own, ["check_answered"]);
  assert.equal((await phone.rows("photos")).length, 0);
  assert.equal(phone.core.queue.value.trouble, "disk_full");
  await phone.core.act(JOB, [SHOT], PHOTO);
  assert.notEqual(phone.core.queue.value.trouble, "disk_full");
});

test("photos that can be fetched again make room for what is saved here", async () => {
  const server = new FakeServer();
  const pulled = new Uint8Array([9, 9]).buffer;
  const hash = Array.from(new Uint8Array(await crypto.subtle.digest("SHA-256", pulled)), (byte) => byte.toString(16).padStart(2, "0")).join("");
  server.photos.set(hash, pulled);
  const phone = await readyPhone(server);
  assert.deepEqual((await phone.rows("photos")).map(({ state }) => state), ["pulled"]);
  server.fault = () => Promise.reject(new TypeError("offline"));
  let room = false;
  const full = refusing(["events"]);
  await watching((tx) => {
    const isClearing = tx.mode === "readwrite" && [...tx.objectStoreNames].join() === "photos";
    if (isClearing) room = true;
    else if (!room) full(tx);
  }, () => phone.core.act(JOB, [LOOK, SHOT], PHOTO));
  assert.deepEqual((await phone.rows("photos")).map(({ sha256, state }) => [sha256, state]), [[PHOTO.sha256, "waiting"]]);
  assert.equal((await phone.rows("events")).filter((row) => row.own).length, 2);
  assert.notEqual(phone.core.queue.value.trouble, "disk_full");
});

test("a full disk is said, and nothing of the act is there", async () => {
  const phone = await readyPhone(new FakeServer());
  await watching(refusing(["events"]), () => assert.rejects(phone.core.act(JOB, [LOOK]), isCode("disk_full")));
  await watching(refusing(["photos"]), () => assert.rejects(phone.core.act(JOB, [SHOT], PHOTO), isCode("disk_full")));
  assert.equal((await phone.rows("outbox")).length, 0);
  assert.equal((await phone.rows("events")).filter((row) => row.own).length, 0);
  assert.equal(phone.core.queue.value.trouble, "disk_full");
});

test("a transaction that aborts after its requests succeeded counts as a full disk too", async () => {
  const phone = await readyPhone(new FakeServer());
  const abortLate = (tx: IDBTransaction): void => {
    if (tx.mode !== "readwrite" || !tx.objectStoreNames.contains("photos")) return;
    const original = tx.objectStore.bind(tx);
    tx.objectStore = (name: string) => {
      const store = original(name);
      if (name === "jobs") {
        const put = store.put.bind(store);
        store.put = (value: unknown) => {
          const request = put(value);
          request.addEventListener("success", () => {
            tx.abort(); // all had succeeded; then the commit fails
            Object.defineProperty(tx, "error", { value: new DOMException("full", "QuotaExceededError") });
          });
          return request;
        };
      }
      return store;
    };
  };
  await watching(abortLate, () => phone.core.act(JOB, [LOOK, SHOT], PHOTO));
  assert.deepEqual((await phone.rows("events")).filter((row) => row.own).map((row) => row.event.kind), ["check_answered"]);
  assert.equal(phone.core.queue.value.trouble, "disk_full");
});

test("a connection that was lost is opened once more", async () => {
  const phone = await readyPhone(new FakeServer());
  let connection: IDBDatabase | undefined;
  await watching((tx) => (connection = tx.db), () => phone.core.act(JOB, [LOOK]));
  connection?.close();
  await phone.core.act(JOB, [LOOK]);
  assert.equal((await phone.rows("events")).filter((row) => row.own).length, 2);
});

test("an undo takes back the last act and only that", async () => {
  const phone = await readyPhone(new FakeServer());
  await phone.core.act(JOB, [LOOK]);
  const last = await phone.core.act(JOB, [LOOK, LOOK]);
  assert.equal(last.view.undoable.length, 2);
  const undone = await phone.core.undoLast(JOB);
  const withdrawn = (await phone.rows("events")).find(({ event }) => event.kind === "withdrawn");
  assert.deepEqual(withdrawn?.event.replaces, last.view.undoable);
  assert.deepEqual(undone.view.undoable, []);
  await assert.rejects(phone.core.undoLast(JOB), isCode("nothing_to_undo"));
});

test("a job is open after job_opened and booked again after its undo", async () => {
  const phone = await readyPhone(new FakeServer());
  const opened = await phone.core.act(JOB, [{ kind: "job_opened", body: { procedure_hash: "p1" } }]);
  assert.equal(opened.view.card.state, "open");
  assert.equal((await phone.core.undoLast(JOB)).view.card.state, "booked");
});

test("what was saved is there after the process died, and the first paint needs no engine", async () => {
  const phone = await readyPhone(new FakeServer());
  phone.fetch = () => Promise.reject(new TypeError("offline"));
  await phone.core.act(JOB, [LOOK]);
  phone.engine = () => null; // hangs from now on
  await phone.restart();
  assert.equal(phone.core.jobs.value.length, 1);
  assert.equal(phone.core.queue.value.waiting, 1);
  const view = await phone.core.openJob(JOB);
  assert.equal(view.card.street, "12 Cellar Row");
  assert.ok((view.record as unknown as { ids: string[] }).ids.length > 0);
});

test("an engine that hangs does not hold up the act; it is started anew and its advice comes later", async () => {
  const phone = await readyPhone(new FakeServer());
  await phone.core.openJob(JOB);
  const fold = phone.engine;
  const before = phone.engines;
  phone.engine = () => null;
  const acting = phone.core.act(JOB, [LOOK]);
  await until(() => [2_500, 4_000].every((wait) => phone.timers.some(({ delayMs }) => delayMs === wait)));
  phone.fire(2_500);
  const { view } = await acting;
  assert.equal(view.advice, null);
  assert.equal((await phone.rows("outbox")).length, 1);
  phone.engine = fold;
  phone.fire(4_000);
  await until(() => phone.core.view.value?.advice != null);
  assert.equal(phone.engines, before + 1);
});

test("an engine that grows is started anew before the next question", async () => {
  const server = new FakeServer();
  const phone = await readyPhone(server);
  server.fault = () => Promise.reject(new TypeError("offline"));
  const fold = phone.engine;
  const before = phone.engines;
  phone.engine = (question) => ({ ...fold(question)!, heap_bytes: 1_000_000_000 }) as ReturnType<typeof fold>;
  await phone.core.act(JOB, [LOOK]);
  phone.engine = fold;
  await phone.core.act(JOB, [LOOK]);
  assert.ok(phone.engines > before);
  assert.ok((await phone.rows("log")).some(({ code }) => code === "engine_grew"));
});

test("nobody signed in: nothing is saved under a wrong name", async () => {
  const phone = await readyPhone(new FakeServer());
  await phone.core.signOut();
  await assert.rejects(phone.core.act(JOB, [LOOK]), isCode("signed_out"));
});

test("a new store is a new device", async () => {
  const one = new Phone(new FakeServer(), 1);
  const two = new Phone(new FakeServer(), 2);
  await Promise.all([one.core.start(), two.core.start()]);
  assert.notEqual(await one.setting("device_id"), await two.setting("device_id"));
});

test("what was noted before a restart can be taken back without signal, though it is no longer the last", async () => {
  const phone = await readyPhone(new FakeServer());
  phone.fetch = () => Promise.reject(new TypeError("offline"));
  await phone.core.act(JOB, [{ kind: "note", body: { words: "wrong heater" } }]);
  const wrong = (await phone.rows("events")).find(({ event }) => event.kind === "note");
  await phone.core.act(JOB, [LOOK]);
  await phone.restart();
  const done = await phone.core.act(JOB, [{ kind: "withdrawn", body: {}, replaces: [wrong?.id ?? ""] }]);
  assert.deepEqual(done.view.undoable, []);
  assert.equal((await phone.rows("outbox")).length, 3);
  assert.ok((await phone.rows("events")).some(({ id }) => id === wrong?.id), "the history stays");
});

test("what took the place of something goes with it where the whole is taken back, and alone where it is not", async () => {
  const replaced = async (whole: boolean): Promise<string[][]> => {
    const phone = await readyPhone(new FakeServer());
    await phone.core.act(JOB, [SHOT], PHOTO);
    const first = (await phone.rows("outbox")).at(-1)!.id;
    await phone.core.act(JOB, [{ ...SHOT, replaces: [first] }]);
    const words = (await phone.rows("outbox")).at(-1)!.id;
    await phone.core.act(JOB, [{ kind: "withdrawn", body: {}, replaces: [words], ...(whole ? { whole } : {}) }]);
    const events = await phone.rows("events");
    return [events.find(({ event }) => event.kind === "withdrawn")!.event.replaces, whole ? [words, first] : [words]];
  };
  for (const whole of [true, false]) {
    const [found, wanted] = await replaced(whole);
    assert.deepEqual(found, wanted);
  }
});

test("what takes the place of a correction takes that of what it had corrected too, and nothing comes to life again", async () => {
  const phone = await readyPhone(new FakeServer());
  const said = async (outcome: string, replaces: string[]): Promise<string> => {
    await phone.core.act(JOB, [{ kind: "check_answered", body: { check: "tube", outcome, could_not: null }, replaces }]);
    return (await phone.rows("outbox")).at(-1)!.id;
  };
  const first = await said("off", []);
  const second = await said("seated", [first]);
  const third = await said("cracked", [second]);
  const stored = (await phone.rows("events")).find(({ id }) => id === third);
  assert.deepEqual(stored?.event.replaces, [second, first]);
});

test("what another person's entry names is not taken along: it may be one's own that stands", async () => {
  const server = new FakeServer();
  const phone = await readyPhone(server);
  await phone.core.act(JOB, [LOOK]);
  const own = (await phone.rows("outbox")).at(-1)!.id;
  const theirs = { ...officeEvent(30, "check_answered", { check: "tube", outcome: "off", could_not: null }, JOB), replaces: [own] };
  server.store(theirs);
  await phone.core.syncNow();
  await phone.core.act(JOB, [{ kind: "note", body: { words: "Read" }, replaces: [theirs.id] }]);
  const note = (await phone.rows("events")).find(({ event }) => event.kind === "note");
  assert.deepEqual(note?.event.replaces, [theirs.id]);
});
