/** The shapes of what the server answers, checked before they are believed: a stranger's JSON is as likely as a stranger's HTML. */
import type { components } from "../generated/api";
import { isObject } from "./checks";
import type { EventEnvelope } from "./schema";
import type { Manifest, Person } from "./settings";

type Answers = components["schemas"];
export type Enrolled = Answers["EnrolOut"];
export type PushResult = Answers["ResultOut"];
/** An event is as it was sent, of kinds that this shell may not know. */
export type StreamPage = Omit<Answers["StreamPageOut"], "events"> & { events: (Omit<Answers["StoredEventOut"], "event"> & { event: EventEnvelope })[] };

function isPerson(value: unknown): value is Person {
  return isObject(value) && typeof value["id"] === "string" && typeof value["name"] === "string";
}

export function isManifest(value: unknown): value is Manifest {
  if (!isObject(value) || typeof value["epoch"] !== "string" || !isPerson(value["person"])) return false;
  return ["people", "streams", "jobs", "procedures", "photos"].every((key) => Array.isArray(value[key]));
}

export function isStreamPage(value: unknown, siteId: string): value is StreamPage {
  if (!isObject(value) || value["site_id"] !== siteId || !Array.isArray(value["events"])) return false;
  return value["events"].every((item) => isObject(item) && typeof item["seq"] === "number" && isEvent(item["event"], siteId));
}

function isEvent(value: unknown, siteId: string): value is EventEnvelope {
  return isObject(value) && typeof value["id"] === "string" && value["site_id"] === siteId && typeof value["lamport"] === "number";
}

export function isEnrolled(value: unknown): value is Enrolled {
  return isObject(value) && typeof value["token"] === "string" && isPerson(value["person"]);
}

export function isPushResult(value: unknown): value is PushResult {
  return isObject(value) && typeof value["id"] === "string" && ["stored", "duplicate", "held", "rejected"].includes(String(value["status"]));
}
