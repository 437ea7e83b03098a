/** Signs a technician in on this phone, with a short code from the office. */
import { CoreError } from "../core_types";
import { isEnrolled } from "./answers";
import { forgetCompany } from "./company";
import type { Context } from "./context";
import { request } from "./http";
import { offerRefusedAgain } from "./offer";
import { putSettings, type Person } from "./settings";
import { dropUnsavedOfOthers } from "./unsaved";

const SAFE = "What is saved on this phone stays here.";

export async function enrol(context: Context, code: string, deviceId: string): Promise<Person> {
  const body = JSON.stringify({ code: code.trim(), device_id: deviceId, device_words: deviceWords() });
  const reply = await request(context.platform, "enrol", { method: "POST", body });
  if (reply.kind === "offline") throw new CoreError("offline", `No signal. ${SAFE} Signing in needs a signal once.`);
  if (reply.kind === "error") throw new CoreError(reply.code, reply.message || `The server is not well. ${SAFE} Try again in a minute.`);
  if (reply.kind !== "json" || !isEnrolled(reply.body)) {
    throw new CoreError("captive", `Another page answered: this Wi-Fi wants a sign-in first. ${SAFE} Open a browser, sign in there, try again.`);
  }
  const { token, person } = reply.body;
  await context.db.write(["settings", "outbox", "kept"], async (tx) => {
    await forgetCompany(tx); // it holds this person's licence: another one may be signing in
    await dropUnsavedOfOthers(tx, person.id);
    await putSettings(tx, { token, person, paused: null, etag: null, pulled_all: false });
    await offerRefusedAgain(tx, ["held"]);
  });
  return person;
}

/** What the office sees in its list of phones. */
function deviceWords(): string {
  const agent = globalThis.navigator?.userAgent ?? "";
  const system = /\((?:\w+; )?([^;)]+)/.exec(agent)?.[1];
  return system ? `Phone (${system.slice(0, 60)})` : "Phone";
}
