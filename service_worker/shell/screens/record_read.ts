/** Reads a record for the screens: who said what about a check, and what ids are called. */
import type { JobView, Procedure, Record_ } from "../core_types";
import type { Answer, Check, CheckFinding } from "../generated/trade";
import { couldNotWords, plainName } from "../words";
import type { Verdict } from "../components/verdict";

export function checkOf(view: JobView, id: string): Check | null {
  return view.procedure?.checks.find((check) => check.id === id) ?? null;
}

export function findingOf(record: Record_, check: string): CheckFinding | null {
  return record.checks.find((finding) => finding.check === check) ?? null;
}

/** The last word of each person. */
export function currentAnswers(record: Record_, check: string): Answer[] {
  return findingOf(record, check)?.entries.filter((entry) => entry.current) ?? [];
}

export function answerWords(procedure: Procedure | null, check: string, answer: Pick<Answer, "outcome" | "could_not">): string {
  if (answer.could_not) return `could not check: ${lower(couldNotWords(answer.could_not))}`;
  return outcomeOf(procedure, check, answer.outcome)?.words ?? plainName(answer.outcome ?? "");
}

export function outcomeOf(procedure: Procedure | null, check: string, outcome: string | null): Check["outcomes"][number] | undefined {
  return procedure?.checks.find((one) => one.id === check)?.outcomes.find((one) => one.id === outcome);
}

export function verdictOf(procedure: Procedure | null, check: string, answer: Pick<Answer, "outcome" | "could_not">): Verdict {
  if (answer.could_not) return answer.could_not === "cannot_tell" ? "cannot_tell" : "not_checked";
  return outcomeOf(procedure, check, answer.outcome)?.verdict ?? "cannot_tell";
}

export function causeWords(procedure: Procedure | null, id: string): string {
  return procedure?.causes.find((cause) => cause.id === id)?.words ?? plainName(id);
}

export function repairWords(procedure: Procedure | null, id: string): string {
  return procedure?.repairs.find((repair) => repair.id === id)?.words ?? plainName(id);
}

export function checkTitle(procedure: Procedure | null, id: string): string {
  return procedure?.checks.find((check) => check.id === id)?.title ?? plainName(id);
}

function lower(words: string): string {
  return words.charAt(0).toLowerCase() + words.slice(1);
}
