/** Whether what was typed is still unsaved: read from the record, which knows nothing of it. */
import type { JobView, UnsavedForm } from "../core_types";
import type { Mark, Record_ } from "../generated/trade";
import { parseRoute, type JobRoute, type JobScreen } from "../router";

/** What each form becomes when it is saved. */
const BECOMES: { [screen in JobScreen]?: (record: Record_, check: string | null) => readonly { by: Mark }[] } = {
  proof: ({ proofs }) => proofs,
  note: ({ notes }) => notes,
  "left-off": ({ left_off }) => left_off,
  close: ({ closings }) => closings,
  agreed: ({ agreements }) => agreements,
  repair: ({ repairs, parts }) => [...repairs, ...parts],
  cause: ({ causes }) => causes,
  "put-back": ({ put_back }) => put_back,
  "office-told": ({ office_told }) => office_told,
  below: ({ due_outs }) => due_outs,
  kit: ({ instruments }) => instruments,
  heater: ({ appliances }) => appliances,
  walk: ({ checks, codes }) => [...checks.flatMap(({ entries }) => entries), ...codes],
  check: ({ checks, codes }, asked) => [...checks.filter(({ check }) => check === asked).flatMap(({ entries }) => entries), ...codes],
};

/** A record as it was stored once, which the rules have not brought up to date: it says nothing of a form that is newer. */
export function isOlder({ record }: JobView, { lamport }: UnsavedForm): boolean {
  return record.lamport < lamport;
}

/** Saved since: the page may have gone between the moment of that and the one in which it was noted here. Or a figure that counts no more. */
export function isOver(view: JobView, form: UnsavedForm, me: string | undefined): boolean {
  const { href, lamport, visit } = form;
  const route = parseRoute(href);
  if (isOlder(view, form)) return false;
  if (!("job" in route) || visit !== visitOf(route, view)) return true;
  return (BECOMES[route.name]?.(view.record, route.arg) ?? []).some(({ by }) => by.person_id === me && by.lamport > lamport);
}

/** A figure at a check is of one visit, and of before or after a repair. */
export function visitOf({ name }: JobRoute, { record }: JobView): string {
  return name === "walk" || name === "check" ? `${(record.arrivals ?? []).length} ${record.repairs.length}` : "";
}
