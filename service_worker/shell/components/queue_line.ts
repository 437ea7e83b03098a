/** The line at the foot of every screen: what waits, since when, and whether something is wrong. */
import { html, type TemplateResult } from "lit-html";
import type { QueueLine } from "../core_types";
import { queueWords } from "../words";

export function queueLine(line: QueueLine): TemplateResult {
  const state = line.trouble && line.trouble !== "offline" ? "trouble" : line.waiting + line.photos_waiting > 0 ? "waiting" : "sent";
  return html`<a class="queue-line" href="#/phone" data-state=${state}>
    <span class="queue-shape" aria-hidden="true"></span>
    <span><span class="out-of-sight">This phone: </span>${queueWords(line)}${line.trouble === "offline" ? html`<span class="soft">, no signal</span>` : ""}</span>
  </a>`;
}
