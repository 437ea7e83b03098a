/** What was typed on a form and not saved yet: kept under its person, its job and its form. Never sent, never part of an event's transaction. */
import type { UnsavedForm } from "../core_types";
import type { Database, WriteTx } from "./db";

const keyOf = (person: string, job: string, href: string): string => `unsaved ${person} ${job} ${href}`;
const of = (person: string, job: string): IDBKeyRange => IDBKeyRange.bound(keyOf(person, job, ""), keyOf(person, job, "\uffff"));

export async function readUnsaved(db: Database, person: string, job: string): Promise<UnsavedForm[]> {
  return (await db.read(["kept"], (tx) => tx.objectStore("kept").getAll(of(person, job)))) as UnsavedForm[];
}

export function keepUnsaved(db: Database, person: string, job: string, href: string, form: UnsavedForm | null): Promise<unknown> {
  const key = keyOf(person, job, href);
  return db.writeDerived<unknown>(["kept"], (tx) => (form ? tx.objectStore("kept").put(form, key) : tx.objectStore("kept").delete(key)));
}

/** The job leaves this phone. */
export async function dropUnsaved(tx: WriteTx, person: string, job: string): Promise<void> {
  await tx.objectStore("kept").delete(of(person, job));
}

/** Whoever signs in reads nothing that another one typed. */
export async function dropUnsavedOfOthers(tx: WriteTx, person: string): Promise<void> {
  const kept = tx.objectStore("kept");
  await kept.delete(IDBKeyRange.bound("unsaved ", `unsaved ${person} `));
  await kept.delete(IDBKeyRange.bound(`unsaved ${person}!`, "unsaved \uffff")); // "!" comes right after the blank
}
