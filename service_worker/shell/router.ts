/** The address line as the one place that says which screen is on: `#/job/<id>/check/<check>`. */

const JOB_SCREENS = [
  "home", "walk", "check", "checks", "suspects", "hunch", "record", "cause", "repair", "proof", "close", "left-off", "note", "below", "kit", "heater", "chain", "agreed", "office-told", "put-back", "words",
] as const;

export type JobScreen = (typeof JOB_SCREENS)[number];
export type Route =
  | { name: "sign-in" | "jobs" | "phone" | "unknown" }
  | { name: JobScreen; job: string; arg: string | null; from?: From };

/** The screen of the job on which a check was opened, and its argument: where one goes on after it. */
export type From = [screen: JobScreen] | [screen: JobScreen, arg: string];

export type JobRoute = Extract<Route, { job: string }>;

/** Reads a location hash; anything that is no screen of ours is "unknown", never an exception. */
export function parseRoute(hash: string): Route {
  const [first, job, screen = "home", arg, from, fromArg] = hash.replace(/^#?\/?/, "").split("/").map(decodePart);
  if (!first || first === "jobs") return { name: "jobs" };
  if (first === "sign-in" || first === "phone") return { name: first };
  if (first !== "job" || !job || !isJobScreen(screen)) return { name: "unknown" };
  return { name: screen, job, arg: arg ?? null, ...(from && isJobScreen(from) ? { from: fromArg ? [from, fromArg] : [from] } : {}) };
}

/** The hash of a screen of a job. */
export function jobHref(job: string, screen: JobScreen = "home", arg?: string, from: From | [] = []): string {
  return "#/" + ["job", job, screen, ...(arg ? [arg, ...from] : [])].map(encodeURIComponent).join("/");
}

/** Where Back leads: up the house; from a check to where it was opened. */
export function parentHref(route: Route): string | null {
  if (!("job" in route)) return route.name === "phone" || route.name === "unknown" ? "#/jobs" : null;
  const { job, name, from: [screen, arg] = ["walk"] } = route;
  if (name === "home") return "#/jobs";
  if (name === "check") return jobHref(job, screen, arg);
  if (name === "put-back" && isJobScreen(route.arg ?? "")) return jobHref(job, route.arg as JobScreen);
  if (name === "office-told" || name === "below" || name === "kit" || name === "heater" || name === "words") return jobHref(job);
  if (name === "walk" || name === "checks" || name === "suspects" || name === "record") return jobHref(job);
  if (name === "chain") return jobHref(job, "heater");
  return jobHref(job, "record");
}

function isJobScreen(text: string): text is JobScreen {
  return (JOB_SCREENS as readonly string[]).includes(text);
}

function decodePart(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}
