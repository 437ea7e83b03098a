/** "Ready for the basement": computed from what is really on this phone. */
import type { Readiness } from "../core_types";
import { BUILD } from "../generated/shell_assets";
import { companyAsked } from "./company";
import type { Context } from "./context";
import type { JobRow, StreamRow } from "./schema";
import { getSetting, saveSettings, type Manifest } from "./settings";
import { installed, shellIsCached } from "./shell_state";

type Step = Readiness["steps"][number];

export async function readiness(context: Context): Promise<Readiness> {
  const [shell, facts] = await Promise.all([shellIsCached(), context.db.read(["settings", "jobs", "streams", "procedures", "kept"], async (tx) => ({
    token: await getSetting(tx, "token"),
    paused: await getSetting(tx, "paused"),
    manifest: await getSetting(tx, "manifest"),
    engineBuild: await getSetting(tx, "engine_build"),
    persistAsked: await getSetting(tx, "persist_asked"),
    jobs: await tx.objectStore("jobs").getAll(),
    streams: await tx.objectStore("streams").getAll(),
    company: await companyAsked(tx),
    procedures: new Set(await tx.objectStore("procedures").getAllKeys()),
  }))]);
  const { manifest, jobs, streams, procedures } = facts;
  const steps: Step[] = [
    step("installed", installed(), "On the home screen"),
    step("signed_in", facts.token !== null && facts.paused === null, "Signed in"),
    step("shell", shell, "The app itself is kept on this phone"),
    step("engine", facts.engineBuild === BUILD, "The rules have run on this phone"),
    step("jobs", manifest !== null && streamsAreHere(manifest, streams) && jobs.every(isPainted), "Jobs and their histories are here"),
    step("procedures", manifest !== null && manifest.procedures.every((hash) => procedures.has(hash)), "What to check is here"),
    step("company", facts.company, "The company's sheets and numbers are here"),
    step("persisted", facts.persistAsked, "The phone was asked to keep it all"),
  ];
  return { ready: steps.every(({ done }) => done), steps };
}

function step(id: Step["id"], done: boolean, words: string): Step {
  return { id, done, words };
}

function streamsAreHere(manifest: Manifest, streams: StreamRow[]): boolean {
  const cursors = new Map(streams.map(({ site_id, cursor }) => [site_id, cursor]));
  return manifest.streams.every(({ site_id, head }) => (cursors.get(site_id) ?? -1) >= head);
}

/** The stored view is whole: it paints with no engine, and the walk has its procedure. */
function isPainted(row: JobRow): boolean {
  return row.record !== null && row.procedure_hash !== null && row.history.length >= row.card.visits_before;
}

/** Starts the engine once, while there is a signal to mend what is missing. */
export async function tryEngine(context: Context): Promise<void> {
  const done = await context.db.read(["settings"], (tx) => getSetting(tx, "engine_build"));
  if (done === BUILD) return;
  await context.engine.call("fold_job", { events: [] });
  await saveSettings(context.db, { engine_build: BUILD });
}

/** Asked once it matters; the browser may say no, and then the words on screen say so. */
export async function askToPersist(context: Context): Promise<void> {
  const asked = await context.db.read(["settings"], (tx) => getSetting(tx, "persist_asked"));
  if (asked) return;
  const kept = await globalThis.navigator?.storage?.persist?.().catch(() => false);
  context.log.note("persist", kept ? "kept" : "not promised");
  await saveSettings(context.db, { persist_asked: true });
}
