/** The job on the address line, as the core knows it; null while it is being opened. */
import type { JobView } from "../core_types";
import type { Stage } from "./screen";

export function viewOf(stage: Stage): JobView | null {
  const view = stage.core.view.value;
  return "job" in stage.route && view?.card.job_id === stage.route.job ? view : null;
}

const TABBED = new Set(["walk", "check", "checks", "suspects", "record"]);

/** The gate comes before every other way through the job. */
export function hasTabs(stage: Stage): boolean {
  const view = viewOf(stage);
  return view !== null && view.card.state !== "booked" && TABBED.has(stage.route.name) && (view.card.state === "closed" || view.advice?.gate.state === "passed");
}
