/** An invented morning: a booked job with a past, one begun, one with a very long street, one closed. */
import type { Company, Draft, JobCard, Procedure } from "../../shell/core_types";
import { ME, OTHER, type Scene } from "./fake_core";

const job = (n: number): string => `00000000-0000-7000-8000-0000000001${n}0`;
const site = (n: number): string => `00000000-0000-7000-8000-0000000002${n}0`;

export const JOBS = { booked: job(1), long: job(2), fresh: job(3) };

const card = (n: number, more: Partial<JobCard>): JobCard => ({
  job_id: job(n), site_id: site(n), street: "14 Tannery Row", town: "Ockham Falls", phone: "(555) 555-0142", complaint_words: "no hot water since last night, the light is blinking",
  state: "booked", visits_before: 0, returning: false, booked_at: "2026-11-25T07:40:00Z", ...more,
});

const EARLIER: Draft[] = [
  { kind: "job_booked", body: { complaint: "locks_out", complaint_words: "shuts itself off every morning", technician_id: OTHER.id, procedure_name: "power_vent" } },
  { kind: "job_opened", body: { procedure_hash: "x" } },
  { kind: "code_read", body: { shown: "flashes", flashes: 3 } },
  { kind: "check_answered", body: { check: "sensing_tube", outcome: "off_or_split", could_not: null } },
  { kind: "reading_taken", body: { check: "suction_at_switch", quantity: "suction_in_wc", value: 0.41, place: "switch", state: "cold" } },
  { kind: "cause_named", body: { cause: "tube_off" } },
  { kind: "repair_made", body: { action: "new_tube" } },
  { kind: "proof_run", body: { passed: true, minutes: 12, restarts: 2, suction_hot_in_wc: 0.44, looks_done: [] } },
  { kind: "job_closed", body: { state: "proven" } },
];

/** Invented, as all of this: no maker's table. */
const COMPANY: Company = {
  settings: { co_ladder: "code_appendix", office_phone: "(555) 555-0100" },
  person: { licence_words: "Gas 2, no. 4471", licence_expires_on: "2027-03-31" },
  model_sheets: [{
    model_sheet_id: "00000000-0000-7000-8000-000000000301", procedure_name: "power_vent", maker_words: "Halvorsen & Pike", model_words: "Cellar 50 PV",
    limits: [{ quantity: "make_point_in_wc", value: 0.36, where: "part_label" }],
    codes: [
      { flash_groups: "3", text: null, meaning_words: "Draft not proved", could_be: ["pressure_switch"] },
      { flash_groups: "2-4", text: null, meaning_words: "Limit open", could_be: ["vent_limit"] },
    ],
    vent: [{ nominal_in: 3, figures: { limit_ft: 60, feet_per_90: 5, feet_per_45: 2.5, limit_elbows: 5 } }],
    words: null,
  }],
};

export function demoScene(procedure: Procedure): Scene {
  return {
    procedure,
    company: COMPANY,
    cards: [
      card(1, { visits_before: 1, returning: true }),
      card(2, { street: "1187 Oberwasserbaudirektionsnebenstrasse N", town: "Saint Bartholomew-under-the-Viaduct", complaint_words: "Warmwasserbereitungsanlagenstörungsmeldung again and again whenever the tumble dryer and both bathroom fans are running" }),
      card(3, { street: "3 Lime Kiln Lane", phone: null }),
    ],
    earlier: { [job(1)]: [{ person: ME.id, at: "2026-11-03T09:20:00Z", drafts: EARLIER }] },
  };
}
