/** The lines of the visit around the walk, for the record: due out and out, instruments, the heater, what was agreed, who was told. */
import type { JobView } from "../core_types";
import { clockWords, readingWords } from "../words";
import { isFoundInService, SAID_IN_SERVICE } from "./found_running";
import { instrumentWords } from "./instruments";
import type { Line } from "./timeline";

/** A maker's figure counts as typed on site until the office has read the photo; one from the company's sheet was not read here at all. */
export function confirmedWords(record: JobView["record"], note: JobView["record"]["sheet"][number]): string {
  if (note.model_sheet_id) return "from the company's sheet, not read on the heater";
  const read = (record.sheet_confirmed ?? []).findLast((one) => one.sheet_event_id === note.by.event_id);
  if (!read) return "typed on site, not confirmed yet";
  return read.agrees ? "confirmed by the office" : `the office reads ${read.read_value === null ? "otherwise" : readingWords(read.read_value, read.quantity)}`;
}

export function visitLines({ record }: JobView): Line[] {
  const lines: Line[] = [];
  const add = (by: Line["by"], what: string, words: string): void => void lines.push({ by, what, words, verdict: null, check: null, photo: null, replaced: false, takeable: false, takenBack: null });
  const settled = record.cancelled && record.closed && record.cancelled.by.lamport > record.closed.by.lamport;
  if (record.cancelled) add(record.cancelled.by, settled ? "Settled: nobody goes again" : "Cancelled", record.cancelled.why);
  for (const one of record.due_outs ?? []) add(one.by, "Due out", [clockWords(one.due_out_wall), one.ring_phone ? `otherwise ring ${one.ring_phone}` : null].filter(Boolean).join("; "));
  for (const one of record.came_out ?? []) add(one.by, "Out", one.words ?? "");
  for (const one of record.instruments ?? []) {
    const today = [one.bump_tested ? "bump-tested" : one.bump_tested === false ? "not bump-tested" : null, one.zeroed ? "zeroed" : one.zeroed === false ? "not zeroed" : null];
    add(one.by, "Carried", [instrumentWords(one), ...today].filter(Boolean).join(", "));
  }
  for (const one of record.appliances) add(one.by, "The heater", [one.maker_words, one.model_words, one.serial_words].filter(Boolean).join(", "));
  for (const one of record.agreements ?? []) {
    const signed = one.signature_path ? "signed on the screen" : "not signed";
    add(one.by, one.decision === "authorised" ? "Agreed" : "Declined by the customer", [`${one.told_words}. ${one.scope_words}`, one.price_words, one.name_words, signed].filter(Boolean).join("; "));
  }
  for (const one of record.office_told ?? []) add(one.by, "Office told", `${clockWords(one.told_wall)}, ${one.who_words}`);
  for (const one of record.put_back ?? []) add(one.by, isFoundInService(one) ? SAID_IN_SERVICE : one.counts === false ? "Said to be put back, without what shows it safe" : "Put back in service", one.words);
  for (const one of record.sheet_confirmed ?? []) {
    const reads = one.read_value === null ? "reads otherwise" : `reads ${readingWords(one.read_value, one.quantity)}`;
    add(one.by, "The office read the photo", one.agrees ? "as typed on site" : reads);
  }
  return lines;
}
