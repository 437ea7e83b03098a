/** Asks trade/ what the figures of a check say. Only ever a proposal: the technician answers. */
import { html, nothing, type TemplateResult } from "lit-html";
import type { Figure } from "../components/figure_row";
import type { JobView } from "../core_types";
import type { Check, Proposal, ReadingField } from "../generated/trade";
import type { Stage } from "./screen";

/** What the rule proposes and excludes, or null where there is no rule, a figure is missing that it cannot do without, or it cannot be asked. */
export async function proposeOutcome(stage: Stage, view: JobView, check: Check, figureOf: (field: ReadingField) => Figure | null): Promise<Proposal | null> {
  if (!check.rule) return null;
  const whole = !check.readings.some((field) => !field.optional && figureOf(field) === null);
  const { readings, sheet, checks } = view.record;
  const known = [...readings, ...sheet].map(({ quantity, value }) => ({ quantity, value }));
  const figures = check.readings.map((field) => ({ quantity: field.quantity, value: plain(figureOf(field)) }));
  const ladder = stage.core.company.value?.settings.co_ladder ?? null;
  const answers = checks.flatMap(({ check: id, now_outcome }) => (now_outcome === null ? [] : [{ check: id, outcome: now_outcome }]));
  try {
    const args = { procedure_hash: view.procedure?.hash, check: check.id, readings: [...known, ...figures], answers, ladder };
    const proposed = await stage.core.ask<Proposal>("propose_outcome", args);
    return whole || proposed.outcome !== null ? proposed : null;
  } catch {
    return check.rule === "co_outcome" ? byCards(view, check, figures[0]?.value ?? null, ladder) : null; // the engine is away: other answers stand as they are
  }
}

/** Room CO needs no engine: the step that the cards of the gate give, and where it is raised nothing good, where one must leave nothing milder. */
function byCards({ procedure }: JobView, check: Check, ppm: number | null, chosen: string | null): Proposal | null {
  const cards = procedure?.gate_cards;
  const ladder = cards?.ladders.find((one) => one.id === (chosen ?? cards.default_ladder));
  const step = ppm === null ? undefined : ladder?.steps.findLast((one) => ppm >= one.from_ppm);
  if (!step) return null;
  const all = check.outcomes.map((one) => one.id as string);
  const outcome = all.includes(step.outcome) ? step.outcome : "leave"; // an older version knows no "outside"
  const stops = check.outcomes.filter((one) => one.stop_words !== null).map((one) => one.id as string);
  const from = stops.indexOf(outcome);
  const fits = ({ id, verdict }: Check["outcomes"][number]): boolean => (from >= 0 ? stops.slice(from).includes(id) : outcome === "acceptable" || (verdict !== "good" && id !== "not_measured"));
  const excluded = check.outcomes.filter((one) => !fits(one)).map((one) => one.id);
  return { outcome, words: `${step.words} (${step.source}.)`, excluded };
}

/** Which steps of room CO count is the company's choice; where it chose none, that is said beside the reading and what is made of it. */
export function noRulesLine(stage: Stage): TemplateResult | typeof nothing {
  const company = stage.core.company.value;
  if (company && company.settings.co_ladder !== null) return nothing;
  return html`<p class="soft" data-no-ladder>${company ? "Your company has not chosen CO rules" : "Which CO rules your company chose is not known here yet"}: these are the code appendix's.</p>`;
}

function plain(figure: Figure | null): number | null {
  return typeof figure === "number" ? figure : null;
}
