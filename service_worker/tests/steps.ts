/** What the tests of sending and pulling do again and again. */
import type { Draft } from "../shell/core_types";
import { JOB, type FakeServer, type Fault } from "./fake_server";
import { readyPhone, type Phone } from "./phone";

export const LOOK: Draft = { kind: "check_answered", body: { check: "tube", outcome: "seated", could_not: null } };
export const BYTES = new TextEncoder().encode("a photo");
export const SHA = "d1ad3e0b9b4f2b9a";

export async function sha256(bytes: Uint8Array): Promise<string> {
  const digest = await crypto.subtle.digest("SHA-256", bytes as Uint8Array<ArrayBuffer>);
  return Array.from(new Uint8Array(digest), (byte) => byte.toString(16).padStart(2, "0")).join("");
}

export async function offline(): Promise<Response> {
  throw new TypeError("offline");
}

/** A phone with `count` events saved and not yet sent. */
export async function waitingPhone(server: FakeServer, count: number): Promise<Phone> {
  const phone = await readyPhone(server);
  const fault = server.fault;
  server.fault = offline;
  for (let i = 0; i < count; i++) await phone.core.act(JOB, [LOOK]);
  await phone.core.syncNow();
  server.fault = fault;
  return phone;
}

export async function ownIds(phone: Phone): Promise<string[]> {
  return (await phone.rows("events")).filter(({ own }) => own).map(({ id }) => id);
}

export function onPush(fault: Fault): Fault {
  return (call, answer) => (call.path === "events" ? fault(call, answer) : answer());
}

/** A fixed sleep is too short on a busy machine, sooner or later. */
export async function until(condition: () => boolean): Promise<void> {
  for (let tries = 0; !condition(); tries++) {
    if (tries > 2_000) throw new Error("it never came");
    await new Promise((done) => setTimeout(done, 1));
  }
}
