/** The chain of safeties, in series: one open stops all. What the rules make of the record for each contact, and what the code's line points at. */
import { html, nothing, svg, type SVGTemplateResult, type TemplateResult } from "lit-html";
import { savedStrip } from "../components/strips";
import { verdictMark, type Verdict } from "../components/verdict";
import type { JobView } from "../core_types";
import type { ChainPartState, ChainPicture } from "../generated/trade";
import { jobHref } from "../router";
import { askedOfJob } from "./asked";
import { codeIn, sheetOf } from "./heater_read";
import { codeWords } from "./timeline";
import type { Screen, Stage } from "./screen";

const STATES: { [state in ChainPartState["state"]]: [verdict: Verdict, words: string] } = {
  open: ["bad", "open"], could_be_open: ["doubtful", "could be open"], closed: ["good", "closed, on a call"], closed_now: ["cannot_tell", "closed at rest"], not_known: ["not_checked", "not known"],
};
const RESET: { [reset: string]: string } = { by_hand: "; reset by hand", by_itself: "; resets by itself", none: "" };

export function chainScreen(stage: Stage, view: JobView): Screen {
  const code = view.record.codes.at(-1);
  const { answer: chain, away } = askedOfJob<ChainPicture>(stage, view, "open_could_be", { named: namedByCode(stage, view) });
  return {
    title: "The chain", key: "chain",
    body: html`${savedStrip(stage, view)}<h1 tabindex="-1">The chain of safeties</h1>
      ${chain ? html`<p>${chain.words || "No chain is drawn for this kind of heater."}</p>` : html`<p class="soft">${away ? "The rules cannot be asked just now. The record stands as it is." : "Being read from the record…"}</p>`}
      ${code ? html`<p class="strip recorded">The control showed: <strong>${codeWords(code)}</strong></p>` : nothing}
      ${chain && chain.parts.length > 0 ? html`${drawing(chain.parts)}<ol class="contacts">${chain.parts.map((one, i) => contact(view, one, i + 1))}</ol>` : nothing}
      <p class="soft">A limit that opened has done its job: ask why. Volts are read; no two terminals are ever joined, not for a moment.</p>`,
  };
}

/** Contacts or parts that the last code's line on this model's sheet points at. */
function namedByCode(stage: Stage, view: JobView): readonly string[] {
  const code = view.record.codes.at(-1);
  if (!code) return [];
  const groups = code.flash_groups ?? (code.flashes === null ? undefined : String(code.flashes));
  return codeIn(sheetOf(stage, view), { ...(groups !== undefined ? { groups } : {}), ...(code.text !== null ? { text: code.text } : {}) })?.could_be ?? [];
}

function contact(view: JobView, one: ChainPartState, number: number): TemplateResult {
  const known = view.procedure?.chain?.find((part) => part.id === one.id);
  const [verdict, words] = STATES[one.state];
  return html`<li data-contact=${one.id} data-state=${one.state}><a class="before-way" data-done=${String(one.state !== "not_known")} href=${jobHref(view.card.job_id, "checks", one.part)}>
    <strong>${number}. ${one.words}</strong> ${verdictMark(verdict, words)}
    <span class="contact-why">${one.why_words}${known ? ` ${known.senses_words}${RESET[known.reset] ?? ""}.` : ""}</span></a></li>`;
}

const STEP_X = 44;
const LEFT_X = 24;

/** Source, a contact for each part, the valve at the end. An open leaf is drawn where it is open or could be. */
function drawing(parts: readonly ChainPartState[]): TemplateResult {
  const end = LEFT_X + STEP_X * parts.length;
  const said = parts.map((one, i) => `${i + 1}, ${one.words}: ${STATES[one.state][1]}`).join("; ");
  return html`<svg class="chain" viewBox=${`0 0 ${end + 32} 76`} role="img" aria-label=${`Contacts in series. ${said}.`}>
    <path d=${`M4 36h${LEFT_X - 4}M${end} 36h12`} /><circle cx="4" cy="36" r="3" /><rect x=${end + 12} y="26" width="16" height="20" rx="3" />${parts.map(leaf)}</svg>`;
}

function leaf(one: ChainPartState, i: number): SVGTemplateResult {
  const x = LEFT_X + STEP_X * i;
  const open = one.state === "open" || one.state === "could_be_open";
  return svg`<g class=${open ? "p" : ""}><circle cx=${x + 7} cy="36" r="2.5" /><circle cx=${x + 32} cy="36" r="2.5" />
    <path d=${`M${x} 36h7M${x + 32} 36h12${open ? `M${x + 7} 36l23-13` : `M${x + 7} 34h25`}`} /><text x=${x + 20} y="64" text-anchor="middle">${i + 1}</text></g>`;
}
