/** What stands over every screen of a job while it lasts. What can hurt is painted at once and comes first; the rest comes with the late part. */
import { html, nothing, type TemplateResult } from "lit-html";
import type { Danger, JobView } from "../core_types";
import { jobHref, type JobScreen } from "../router";
import { dangerWords } from "../words";
import { lateBit } from "./later";
import type { Screen, Stage } from "./screen";
import { viewOf } from "./view_of";

export const NOT_SENT = "Not sent: the office does not know.";

export function visitStrips(stage: Stage, { key }: Screen): TemplateResult | typeof nothing {
  const view = viewOf(stage);
  if (!view) return nothing;
  const danger = key.startsWith("stop ") || view.card.state !== "open" ? [] : view.danger.filter((one) => one.stops || !view.record.heater_off); // the stop screen says more
  const own = danger.length > 0 ? [dangerStrip(stage, view, danger)] : [];
  const strips = lateBit((late) => late.stripsInOrder(stage, view, own), own);
  if (strips.length === 0) return nothing;
  const open = stage.local("strips open", false);
  return html`<aside class="visit-strips" aria-label="This visit" ?data-open=${open.value}>${strips}
    <button class="strips-fold" type="button" aria-expanded=${String(open.value)} @click=${() => (open.value = !open.value)}>${open.value ? "Less" : "All"}</button></aside>`;
}

/** Said from the moment it is found, not only at the close. */
function dangerStrip(stage: Stage, view: JobView, danger: readonly Danger[]): TemplateResult {
  const [first] = danger;
  const [screen, words, more]: [JobScreen, string, TemplateResult | typeof nothing] = first?.stops
    ? ["walk", "What to do now", first.by && isUnsent(stage, first.by) ? html` <span data-unsent>${NOT_SENT}</span>` : nothing]
    : ["left-off", "Leave it off", html`<span class="can-fold"> The burner stays off until it is put right.</span>`];
  return html`<p class="visit-strip" data-kind="bad" data-unsafe role="status"><span><strong>${dangerWords(danger)}.</strong>${more}</span>
    ${stage.route.name === screen ? nothing : html`<a class="visit-way" href=${jobHref(view.card.job_id, screen)}>${words}</a>`}</p>`;
}

/** Until when this phone's own person is below: another one's time is theirs to end. */
export function ownBelow(stage: Stage, { record }: JobView): JobView["record"]["below"] {
  return record.below_now?.find((one) => one.by.person_id === stage.core.person.value?.id) ?? null;
}

/** Saved here and not at the office, waiting or refused: whoever should act on it does not know it. What waits goes out in its order. */
export function isUnsent(stage: Stage, { at_wall, event_id }: { at_wall: string; event_id: string }): boolean {
  const { waiting_since: since, refused } = stage.core.queue.value;
  return refused.includes(event_id) || (since !== null && Date.parse(since) <= Date.parse(at_wall));
}

export function comeOut(stage: Stage, view: JobView): void {
  void stage.act(view, [{ kind: "came_out", body: {} }], "I am out");
}
