/** The chain of safeties, in series: one open stops all. What is known of each, from the record; what could be open, from the code. */
import { html, nothing, svg, type SVGTemplateResult } from "lit-html";
import { savedStrip } from "../components/strips";
import { verdictMark, type Verdict } from "../components/verdict";
import type { JobView } from "../core_types";
import { jobHref } from "../router";
import { sketchOf } from "../sketches/figure";
import { codeIn, sheetOf } from "./heater_read";
import { answerWords, codeWords, findingOf, verdictOf } from "./record_read";
import type { Screen, Stage } from "./screen";

interface Contact {
  part: string;
  words: string;
  verdict: Verdict | null;
  found: string[];
  couldBe: boolean;
}

const STEP_X = 56;
const LEFT_X = 30;

export function chainScreen(stage: Stage, view: JobView): Screen {
  const code = view.record.codes.at(-1);
  const sheet = sheetOf(stage, view);
  const line = code ? codeIn(sheet, { ...(code.flash_groups ?? code.flashes !== null ? { groups: code.flash_groups ?? String(code.flashes) } : {}), ...(code.text ? { text: code.text } : {}) }) : null;
  const contacts = contactsOf(view, line?.could_be ?? []);
  return {
    title: "The chain", key: "chain",
    body: html`${savedStrip(stage, view)}<h1 tabindex="-1">The chain of safeties</h1>
      <p>They stand in series: one open contact stops all. Which stands where, the heater's own wiring sheet says.</p>
      ${code ? html`<p class="strip recorded">The control showed: <strong>${codeWords(code)}</strong></p>` : nothing}
      ${contacts.length === 0 ? html`<p class="empty">No chain is drawn for this kind of heater.</p>` : html`
        <svg class="chain" viewBox=${`0 0 ${LEFT_X * 2 + STEP_X * contacts.length} 92`} role="img" aria-label=${`Contacts in series: ${contacts.map(said).join("; ")}.`}>${drawn(contacts)}</svg>
        <ol class="contacts">${contacts.map((one, i) => html`<li data-contact=${one.part} data-could=${String(one.couldBe)}><a class="before-way" data-done=${String(one.verdict !== null)} href=${jobHref(view.card.job_id, "checks", one.part)}>
          <strong>${i + 1}. ${one.words}</strong>
          ${one.couldBe ? html`<span class="could">could be open, by the code</span>` : nothing}
          ${one.verdict ? verdictMark(one.verdict, one.found.join("; ")) : html`<span>not looked at</span>`}</a></li>`)}</ol>`}
      <p class="soft">A limit that opened has done its job: ask why. No contact is ever bridged, not for a moment.</p>`,
  };
}

/** The parts in series, from the sketch data of this procedure; each by the worst that was found on it. */
function contactsOf(view: JobView, couldBe: readonly string[]): Contact[] {
  const order = sketchOf(`heater/${view.procedure?.name}`)?.chain ?? [];
  return order.flatMap((part) => {
    const words = view.procedure?.parts.find((one) => one.id === part)?.words;
    if (!words) return [];
    const findings = (view.procedure?.checks ?? []).filter((check) => check.part === part && check.from_event === null).flatMap((check) => {
      const finding = findingOf(view.record, check.id);
      return finding?.now_outcome ? [{ verdict: verdictOf(view.procedure, check.id, { outcome: finding.now_outcome, could_not: null }), words: answerWords(view.procedure, check.id, { outcome: finding.now_outcome, could_not: null }) }] : [];
    });
    const worst = (["bad", "doubtful", "good"] as const).find((verdict) => findings.some((one) => one.verdict === verdict)) ?? null;
    return [{ part, words, verdict: worst, found: findings.filter((one) => one.verdict === worst).map((one) => one.words), couldBe: couldBe.includes(part) }];
  });
}

function said(one: Contact): string {
  return `${one.words}${one.couldBe ? ", could be open" : ""}${one.verdict ? `, found ${one.verdict}` : ", not looked at"}`;
}

/** Source, a contact for each part, the valve at the end. An open leaf is drawn where the code or a finding says so. */
function drawn(contacts: readonly Contact[]): SVGTemplateResult[] {
  const end = LEFT_X + STEP_X * contacts.length;
  return [
    svg`<path d=${`M6 40h${LEFT_X - 6}M${end} 40h16`} /><circle cx="6" cy="40" r="4" /><rect x=${end + 12} y="30" width="16" height="20" rx="3" />`,
    ...contacts.map((one, i) => {
      const x = LEFT_X + STEP_X * i;
      const open = one.couldBe || one.verdict === "bad";
      return svg`<g class=${open ? "p" : ""}><circle cx=${x + 8} cy="40" r="3" /><circle cx=${x + 40} cy="40" r="3" />
        <path d=${`M${x} 40h8M${x + 40} 40h16${open ? `M${x + 8} 40l30-16` : `M${x + 8} 38h32`}`} /><text x=${x + 24} y="72" text-anchor="middle">${i + 1}</text></g>`;
    }),
  ];
}
