/** What the company keeps for its phones: whom to ring, its CO rule set, its model sheets. Comes down in the sync round, believed only in its own shape. */
import type { Company, ModelCode, ModelLimit, ModelSheet, ModelVent } from "../core_types";
import { isObject } from "./checks";
import type { Context } from "./context";
import type { Database, ReadTx, WriteTx } from "./db";
import { request } from "./http";

const KEY = "company";

interface Kept {
  etag: string | null;
  /** null: this server keeps no such data */
  company: Company | null;
}

/** Trouble here stops nothing: jobs and events go first, and what came before stays. */
export async function pullCompany({ db, platform, log }: Context, token: string): Promise<void> {
  const kept = await keptCompany(db);
  const reply = await request(platform, "company", { token, etag: kept?.etag ?? null });
  if (reply.kind === "unchanged" || reply.kind === "offline") return;
  const company = reply.kind === "json" ? readCompany(reply.body) : null;
  const none = reply.kind === "error" && reply.status === 404;
  if (!company && !none) return log.note("company_not_read", reply.kind === "error" ? reply.code : reply.kind);
  if (none && kept) return;
  const next: Kept = { etag: reply.kind === "json" ? reply.etag : null, company };
  await db.write(["kept"], (tx) => tx.objectStore("kept").put(next, KEY));
}

export async function loadCompany(db: Database): Promise<Company | null> {
  return (await keptCompany(db))?.company ?? null;
}

/** Whether it is here, or the server has said that it has none. */
export async function companyAsked(tx: ReadTx | WriteTx): Promise<boolean> {
  return (await tx.objectStore("kept").getKey(KEY)) !== undefined;
}

export async function forgetCompany(tx: WriteTx): Promise<void> {
  await tx.objectStore("kept").delete(KEY);
}

async function keptCompany(db: Database): Promise<Kept | undefined> {
  return (await db.read(["kept"], (tx) => tx.objectStore("kept").get(KEY))) as Kept | undefined;
}

/** What a newer server adds is left out; what is not there is null. */
export function readCompany(value: unknown): Company | null {
  if (!isObject(value) || !isObject(value["settings"]) || !Array.isArray(value["model_sheets"])) return null;
  const person = isObject(value["person"]) ? value["person"] : {};
  return {
    settings: { co_ladder: words(value["settings"], "co_ladder"), office_phone: words(value["settings"], "office_phone") },
    person: { licence_words: words(person, "licence_words"), licence_expires_on: words(person, "licence_expires_on") },
    model_sheets: value["model_sheets"].filter(isObject).flatMap(readSheet),
  };
}

function readSheet(sheet: { [key: string]: unknown }): ModelSheet[] {
  const model_sheet_id = words(sheet, "model_sheet_id");
  if (!model_sheet_id) return [];
  return [{
    model_sheet_id, procedure_name: words(sheet, "procedure_name") ?? "", maker_words: words(sheet, "maker_words") ?? "", model_words: words(sheet, "model_words") ?? "",
    limits: list(sheet, "limits").flatMap(readLimit), codes: list(sheet, "codes").map(readCode), vent: list(sheet, "vent").flatMap(readVent), words: words(sheet, "words"),
  }];
}

function readLimit(limit: { [key: string]: unknown }): ModelLimit[] {
  const { quantity, value } = limit;
  return typeof quantity === "string" && typeof value === "number" ? [{ quantity, value, where: words(limit, "where") }] : [];
}

function readCode(code: { [key: string]: unknown }): ModelCode {
  const parts = Array.isArray(code["could_be"]) ? code["could_be"].filter((part): part is string => typeof part === "string") : [];
  return { flash_groups: words(code, "flash_groups"), text: words(code, "text"), meaning_words: words(code, "meaning_words") ?? "", could_be: parts };
}

/** The server's names of a vent row → the procedure's names of the same figures. */
const VENT_FIGURES: [from: string, to: string][] = [
  ["max_equivalent_ft", "limit_ft"], ["min_equivalent_ft", "limit_min_ft"], ["max_elbows", "limit_elbows"], ["feet_per_elbow_90", "feet_per_90"], ["feet_per_elbow_45", "feet_per_45"],
];

function readVent(row: { [key: string]: unknown }): ModelVent[] {
  const { nominal_in } = row;
  if (typeof nominal_in !== "number") return [];
  return [{ nominal_in, figures: Object.fromEntries(VENT_FIGURES.flatMap(([from, to]) => (typeof row[from] === "number" ? [[to, row[from]]] : []))) }];
}

function list(from: { [key: string]: unknown }, key: string): { [key: string]: unknown }[] {
  return Array.isArray(from[key]) ? from[key].filter(isObject) : [];
}

function words(from: { [key: string]: unknown }, key: string): string | null {
  const value = from[key];
  return typeof value === "string" && value !== "" ? value : null;
}
