/** How figures, times and states are said. Short, the trade's own, units always; raw numbers are rounded here and nowhere below. */
import type { Danger, QueueLine } from "./core_types";

type Trouble = NonNullable<QueueLine["trouble"]>;

/** Units by the ending of a quantity's name; the longest ending that fits wins. */
const UNITS: [ending: string, unit: string][] = [
  ["_in_wc", "in. w.c."], ["_btu_h", "Btu/h"], ["_megohm", "MΩ"], ["_mohm", "MΩ"], ["_ohm", "Ω"], ["_ppm", "ppm"], ["_pct", "%"],
  ["_percent", "%"], ["_minutes", "min"], ["_min", "min"], ["_seconds", "s"], ["_mv", "mV"], ["_ma", "mA"], ["_ua", "µA"],
  ["_psi", "psi"], ["_gpm", "gal/min"], ["_pa", "Pa"], ["_ft", "ft"], ["_in", "in."], ["_rpm", "rpm"], ["_a", "A"], ["_v", "V"],
  ["_f", "°F"],
];

export function unitOf(quantity: string): string {
  if (quantity.startsWith("minutes")) return "min";
  return UNITS.find(([ending]) => quantity.endsWith(ending))?.[1] ?? "";
}

/** A unit as the sheet of checks writes it, as one reads it; things that are counted need none. */
export function unitWords(unit: string): string {
  return { count: "", degF: "°F", ohm: "Ω", "uA DC": "µA DC" }[unit] ?? unit;
}

/** "suction_in_wc" → "suction": a name of last resort, where the procedure gives no words. */
export function plainName(id: string): string {
  const ending = UNITS.find(([end]) => id.endsWith(end))?.[0] ?? "";
  return id.slice(0, id.length - ending.length).replaceAll("_", " ");
}

/** A reading as it was typed, with a real minus sign. */
export function numberWords(value: number): string {
  return String(value).replace("-", "−");
}

export function readingWords(value: number, quantity: string): string {
  const unit = unitOf(quantity);
  return unit ? `${numberWords(value)} ${unit}` : numberWords(value);
}

/** "about 30 in 100", rounded to 5; never 0 and never 100. */
export function inHundred(p: number): string {
  const rounded = Math.round(p * 20) * 5;
  if (rounded < 5) return "fewer than 5 in 100";
  return rounded > 95 ? "more than 95 in 100" : `about ${rounded} in 100`;
}

/** "14:05" today, "Tue 24 Nov, 14:05" before. */
export function clockWords(iso: string | null, now: Date = new Date()): string {
  const at = iso === null ? null : new Date(iso);
  if (!at || Number.isNaN(at.getTime())) return "time not known";
  const clock = `${two(at.getHours())}:${two(at.getMinutes())}`;
  return at.toDateString() === now.toDateString() ? clock : `${dayWords(iso)}, ${clock}`;
}

/** The same where room is short: this year goes without saying. "3 Nov, 14:05" */
export function shortClockWords(iso: string | null, now: Date = new Date()): string {
  return clockWords(iso, now).replace(` ${now.getFullYear()},`, ",");
}

const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/** A day without an hour, "2026-03-03", is that day here and not in Greenwich. */
export function momentOf(iso: string): Date {
  return new Date(iso.length === 10 ? `${iso}T00:00` : iso);
}

export function dayWords(iso: string | null): string {
  const at = iso === null ? null : momentOf(iso);
  if (!at || Number.isNaN(at.getTime())) return "day not known";
  return `${at.getDate()} ${MONTHS[at.getMonth()]} ${at.getFullYear()}`;
}

function two(part: number): string {
  return part < 10 ? `0${part}` : String(part);
}

/** "Stop. Smell of gas", "Another visit: unsafe. CO in the room: Raised, 24 ppm, and 2 more" */
export function dangerWords([first, ...rest]: readonly Danger[]): string {
  if (!first) return "";
  const [stop, unsafe] = first.elsewhere ? ["Another visit: stop", "Another visit: unsafe"] : ["Stop", "Unsafe"];
  return `${first.call ? "" : `${first.stops ? stop : unsafe}. `}${first.words}${rest.length > 0 ? `, and ${rest.length} more` : ""}`;
}

export function count(n: number, one: string, many = `${one}s`): string {
  return `${n} ${n === 1 ? one : many}`;
}

/** The line that is always on the screen. */
export function queueWords(line: QueueLine): string {
  const waiting = line.waiting + line.photos_waiting;
  if (line.trouble && line.trouble !== "offline") return TROUBLE[line.trouble].short;
  if (waiting > 0) return `${waiting} waiting${line.waiting_since ? ` since ${shortClockWords(line.waiting_since)}` : ""}`;
  if (line.parked > 0) return `${line.parked} set aside`;
  return line.sent_at ? `all sent ${clockWords(line.sent_at)}` : "nothing waiting";
}

/** What is safe, then what to do, in that order. */
export const TROUBLE: { [key in Trouble]: { short: string; safe: string; do: string } } = {
  offline: {
    short: "no signal",
    safe: "Everything you saved is on this phone.",
    do: "Go on working. It is sent by itself when there is signal.",
  },
  signed_out: {
    short: "signed out: sending has stopped",
    safe: "Everything you saved is on this phone. Nothing was deleted.",
    do: "Sign in again with a new code from the office. Sending then goes on where it stopped.",
  },
  revoked: {
    short: "the office took this phone off",
    safe: "Everything you saved is on this phone. Nothing was deleted.",
    do: "Call the office. You can save what waits to a file and hand it in.",
  },
  server: {
    short: "the office's server does not answer",
    safe: "Everything you saved is on this phone.",
    do: "Nothing: it is tried again by itself.",
  },
  captive: {
    short: "this Wi-Fi wants a sign-in",
    safe: "Everything you saved is on this phone. Nothing was sent to the wrong place.",
    do: "Open the Wi-Fi's own page and sign in there, or turn Wi-Fi off.",
  },
  disk_full: {
    short: "this phone is full",
    safe: "What says “saved” is saved. The last thing you tried was not.",
    do: "Make room: delete pictures or programs that you do not need. Words still save when photos cannot.",
  },
  update_blocked: {
    short: "an update waits for another window",
    safe: "Everything you saved is on this phone.",
    do: "Close every other window of Undercroft, then open it again.",
  },
};

export const SENSE_WORDS: { [sense: string]: string } = {
  eye: "eye", hand: "hand", meter: "meter", gauge: "gauge", analyser: "analyser",
};

export const COULD_NOT: [reason: string, words: string][] = [
  ["no_access", "Cannot get to it"],
  ["no_tool", "Not the tool with me"],
  ["not_allowed", "Not trained or not allowed"],
  ["unsafe", "Not safe to do now"],
  ["refused", "Customer does not want it"],
  ["cannot_tell", "Looked, and cannot tell"],
  ["not_fitted", "This heater has none"],
];

export function couldNotWords(reason: string): string {
  return COULD_NOT.find(([id]) => id === reason)?.[1] ?? reason;
}

export const CLOSE_STATES: [state: string, words: string, more: string][] = [
  ["proven", "Proven", "The hot run held."],
  ["not_proven", "Not proven", "Repaired, not yet shown to hold. Say why."],
  ["not_seen_today", "Fault not seen today", "It ran, and would not fail."],
  ["waiting_part", "Waiting for a part", "A return visit is needed."],
  ["declined", "Declined by the customer", "The repair was offered and not wanted."],
  ["handed_over", "Handed over", "Someone else goes on with it."],
  ["replaced", "Heater replaced", ""],
  ["left_off", "Left off and tagged", "Unsafe to run. What, why, and who was told."],
];

export function closeWords(state: string): string {
  return CLOSE_STATES.find(([id]) => id === state)?.[1] ?? plainName(state);
}

export const VERDICT_WORDS: { [verdict: string]: string } = {
  good: "good", doubtful: "doubtful", bad: "bad", cannot_tell: "cannot tell", not_checked: "not checked",
};

/** Faults of a call to the core, by code; the message of the fault itself where no words of ours fit. */
export function faultWords(code: string, message: string): string {
  return FAULTS[code] ?? message;
}

const FAULTS: { [code: string]: string } = {
  photo_unreadable: "All that says “saved” is safe. Not saved: this phone cannot read that picture. Take the photo with the camera, or choose a JPEG.",
  code_unknown: "That code does not work. Look again: it has no I, L, O, U, 0 or 1. Each code works once and for a short time; the office can give you a new one.",
  too_many_tries: "Too many tries. Wait a minute, then try again.",
  offline: "Nothing on this phone is lost. No signal: signing in needs it once; afterwards you can work without.",
  disk_full: "All that says “saved” is safe. Not saved: this phone is full. Make room, then tap the answer again.",
};
