/** What must be read of a job before anything else: what stops the visit, and what was found unsafe and stands. */
import type { Danger, Procedure, Record_, WalkAdvice } from "../core_types";
import type { Check, Mark } from "../generated/trade";
import { readingWords } from "../words";

type Figure = { value: number; by: Mark };

/** As the rules last had it, with its figure where one was read: it is kept with the job and painted without an engine. */
export function dangerOf(procedure: Procedure | null, record: Record_, advice: WalkAdvice | null): Danger[] {
  if (!advice || (advice.gate?.state !== "stopped" && !advice.unsafe?.length)) return []; // nearly always
  return stopsFirst((procedure?.checks ?? []).flatMap((check) => dangersOf(check, record, advice)));
}

export function stopsFirst(found: Danger[]): Danger[] {
  return [...found.filter(({ stops }) => stops), ...found.filter(({ stops }) => !stops)];
}

function dangersOf(check: Check, record: Record_, { gate, unsafe, elsewhere = [] }: WalkAdvice): Danger[] {
  const theirs = elsewhere.some((one) => one.look === check.id && one.stop_words === gate.stop_words); // another visit's stop is said as that
  const stopped = gate.state === "stopped" && gate.next_check === check.id && !theirs ? gate.stop_words : null;
  return check.outcomes.filter((one) => unsafe?.includes(`${check.title}: ${one.words}`) || (stopped !== null && one.stop_words === stopped)).map((one) => {
    const said = record.checks.find((finding) => finding.check === check.id)?.entries.findLast((entry) => entry.current && entry.outcome === one.id);
    const figure = figureOf(check, record, said?.by);
    const read = figure ? `, ${readingWords(figure.value, mainQuantity(check) ?? "")}` : "";
    return { check: check.id, words: saidOnce(`${check.title}: ${one.words}`) + read, stops: one.stop_words !== null, by: said?.by ?? figure?.by ?? null };
  });
}

/** The one figure that such a check asks for. */
function mainQuantity({ readings }: Check): string | null {
  const [field, ...more] = readings.filter(({ optional }) => !optional);
  return field && more.length === 0 ? field.quantity : null;
}

/** What was read when it was answered; where nobody answered, the worst of what each person read last. CO is read beside a hot run too. */
function figureOf(check: Check, { readings, proofs }: Record_, said: Mark | undefined): Figure | null {
  const quantity = mainQuantity(check);
  const runs = quantity === "co_room_ppm" ? proofs.flatMap(({ co_room_ppm: value, by }) => (value === null ? [] : [{ value, by }])) : [];
  const read = [...readings.filter((one) => one.check === check.id && one.quantity === quantity), ...runs].filter(({ by }) => !said || by.lamport <= said.lamport);
  const last = new Map(read.sort((a, b) => a.by.lamport - b.by.lamport).map((one) => [one.by.person_id, one]));
  return [...last.values()].sort((a, b) => a.value - b.value).at(-1) ?? null;
}

/** Where the check and its answer have one name. */
export function saidOnce(words: string): string {
  const [title = words, outcome] = words.split(": ");
  return title === outcome ? title : words;
}
