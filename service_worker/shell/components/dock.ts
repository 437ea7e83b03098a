/** Answers stay under the thumb while the rest scrolls, wherever the question and its caution are left in sight. */
import { signal } from "@preact/signals-core";
import { tellBelow } from "./more_below";

/** The answers come before how it is looked at: rendered in the order in which it is seen, so that the focus goes so too. */
export const answersFirst = signal(false);

const NEVER_COVERED = ".question-words, .question > .strip[data-kind=caution], .question > [data-out-now], .question > [data-start-timer], .stop-card > :last-child, .lifted-words, .stop-tell";
/** How it is begun: in sight wherever the answers leave room for it. */
const FIRST_STEP = ".how li:first-child";

/** As tokens.css has it, and what a thumb in a glove still meets. */
const KEY_PX = 72;
const LEAST_KEY_PX = 48;

/** What makes room, one after the other, each as the style sheet has it: what can wait; the strips above the question; answers two to a line. */
const STEPS = ["data-tight", "data-folded", "data-two", "data-bare"];

/** Measured on the page as it stands: any text size, any number of answers, any phone. Where no step is enough the answers come
 * straight after the question and scroll along (`data-loose`), and the foot says how many are further down. */
export function fitDock(root: HTMLElement): void {
  const at = scrollY;
  root.toggleAttribute("data-pad", root.querySelector(".pad") !== null); // for the style sheet: `:has()` took a third of an answer's time
  for (const step of ["data-many", ...STEPS, "data-loose"]) root.removeAttribute(step); // as the screen before left it
  root.querySelector(".more-below")?.toggleAttribute("hidden", true);
  const foot = root.querySelector("footer")?.offsetHeight ?? 0;
  root.toggleAttribute("data-many", (root.querySelector<HTMLElement>(".visit-strips")?.offsetHeight ?? 0) > innerHeight / 3);
  fitPad(root);
  const dock = root.querySelector<HTMLElement>(".dock[data-stick]");
  if (dock) answersFirst.value = makeRoom(root, dock, innerHeight - foot);
  if (scrollY !== at) scrollTo(0, at); // measuring made the page shorter for a moment
  standOnFoot(root);
}

/** The whole pad is in reach: first the strips fold to one line, then its four rows of keys get lower, never under what a glove needs. */
function fitPad(root: HTMLElement): void {
  const keys = root.querySelector<HTMLElement>(".pad-keys");
  if (!keys) return;
  keys.style.removeProperty("--key");
  const tooHigh = (): number => root.scrollHeight - innerHeight;
  if (tooHigh() > 0) root.toggleAttribute("data-many", true);
  const missing = tooHigh();
  if (missing > 0) keys.style.setProperty("--key", `${Math.max(LEAST_KEY_PX, KEY_PX - Math.ceil(missing / 4))}px`);
}

/** With every swipe: what is further down, and the foot, which wraps with large text, under the answers or the pad's Done. */
export function standOnFoot(root: HTMLElement): void {
  tellBelow(root);
  const dock = root.querySelector<HTMLElement>(".dock[data-stick], .pad > .pair");
  if (dock) dock.style.bottom = `${root.querySelector("footer")?.offsetHeight ?? 0}px`;
}

function makeRoom(root: HTMLElement, dock: HTMLElement, lowest: number): boolean {
  const lastOf = (what: string): HTMLElement | undefined => [...root.querySelectorAll<HTMLElement>(what)].at(-1);
  const isCovered = (last?: HTMLElement, share = 3): boolean => last ? last.offsetTop + last.offsetHeight > lowest - dock.offsetHeight : dock.offsetHeight > lowest / share; // where nothing is asked
  const [must, wanted] = [lastOf(NEVER_COVERED), lastOf(FIRST_STEP)];
  for (const step of STEPS) {
    if (!isCovered(wanted ?? must)) return false;
    const before = dock.offsetHeight;
    root.toggleAttribute(step, true);
    if (step === "data-two" && (dock.offsetHeight >= before || isBroken(dock))) root.removeAttribute(step);
  }
  return root.toggleAttribute("data-loose", isCovered(must, 2));
}

/** A word that is wider than its half of the line. */
function isBroken(dock: HTMLElement): boolean {
  return [...dock.querySelectorAll<HTMLElement>(".answer")].some((one) => one.scrollWidth > one.clientWidth);
}
