/** Another open call from the address that alarms, while this visit has not looked into it. */
import { html, nothing, type TemplateResult } from "lit-html";
import { alarmsOn } from "../core/alarms";
import type { Danger, JobView } from "../core_types";
import { ringButton } from "./ring";

export function otherCalls(view: JobView): Danger[] {
  return alarmsOn(view).filter(({ elsewhere }) => elsewhere);
}

/** On the job's page, before its own call. */
export function otherCallBox(view: JobView): TemplateResult | typeof nothing {
  const calls = otherCalls(view);
  return calls.length === 0 ? nothing : html`<div class="strip" data-kind="bad" data-other-call>${calls.map(({ words }) => html`<p><strong>${words}.</strong></p>`)}<p>CO meter on before the door. Gas smelled: nobody in, no switches, call from outside.</p>
    ${calls.map(({ call }) => html`${call?.said ? html`<blockquote class="complaint">${call.said}</blockquote>` : nothing}${call?.phone ? ringButton(call.phone, "Ring that caller") : nothing}`)}</div>`;
}
