/** What other visits to the address found unsafe, as the rules say it: asked of them only where a visit is begun and not closed. */
import type { FoundElsewhere } from "../generated/trade";
import type { AddressFacts, FoundHere, WalkAdvice } from "../core_types";
import type { Address } from "./address";
import { whenMs } from "./address_facts";
import { isBegun, live } from "./cards";
import type { EventEnvelope } from "./schema";

export type AskOfVisit = <T>(events: EventEnvelope[], name: string, more?: object) => Promise<T>;

/** Less what any other visit looked at later; what stops a visit first, then the oldest. */
export async function foundAt({ others, knownMs }: Pick<Address, "others" | "knownMs">, ask: AskOfVisit): Promise<FoundElsewhere[]> {
  let found: FoundElsewhere[] = [];
  const visits = [...others.values()];
  for (const events of visits.filter((one) => isUnfinished(live(one)))) found.push(...(await ask<FoundElsewhere[]>(events, "found_unsafe")));
  found = found.map((line) => ({ ...line, at_ms: neverLater(line.at_ms, knownMs.get(line.event_id) ?? null) })).sort((a, b) => Number(!a.stop_words) - Number(!b.stop_words) || (a.at_ms ?? 0) - (b.at_ms ?? 0));
  const firstMs = Math.min(...found.map(({ at_ms }) => at_ms ?? Infinity));
  for (const events of visits) if (events.some((event) => whenMs(event) > firstMs)) found = await ask<FoundElsewhere[]>(events, "not_seen_since", { found });
  return found;
}

/** What of it this job has not looked at since; without the rules, all. A row that an older shell wrote has none. */
export function foundElsewhere({ advice, facts }: { advice: WalkAdvice | null; facts?: AddressFacts }): readonly FoundHere[] {
  return advice?.elsewhere ?? facts?.elsewhere ?? [];
}

function isUnfinished(events: EventEnvelope[]): boolean {
  return isBegun(events) && !events.some(({ kind }) => kind === "job_closed");
}

/** A phone whose clock runs ahead found nothing after the server had it. */
function neverLater(at_ms: number | null, known_ms: number | null): number | null {
  return known_ms === null || at_ms === null ? at_ms : Math.min(at_ms, known_ms);
}
