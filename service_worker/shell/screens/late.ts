/** The second part of the shell: every screen that neither the first paint nor the walk's plain questions need. */
import type { JobView } from "../core_types";
import type { JobRoute } from "../router";
import { causeScreen } from "./cause";
import { chainScreen } from "./chain";
import { checksScreen, oneCheckScreen } from "./checks";
import { closeScreen } from "./close";
import { leftOffScreen, noteScreen } from "./note";
import { belowScreen } from "./going_down";
import { glossaryScreen } from "./glossary";
import { heaterScreen } from "./heater";
import { hunchScreen } from "./hunch";
import { kitScreen } from "./kit";
import { officeToldScreen } from "./office_told";
import { agreedScreen } from "./agreed";
import { proofScreen } from "./proof";
import { putBackScreen } from "./put_back";
import { recordScreen } from "./record";
import { repairScreen } from "./repair";
import type { Screen, Stage } from "./screen";
import { suspectsScreen } from "./suspects";

export { lostScreen, notBegunScreen } from "./astray";
export { anewButtons } from "./anew_ways";
export { photoButton } from "../components/photo";
export { withTerms } from "../components/terms";
export { notYet } from "./before";
export { whatCanHurt } from "./call_notes";
export { codeScreen } from "./code";
export { reasonsScreen } from "./could_not";
export { lastEntry } from "./last_entry";
export { homeRest } from "./home_rest";
export { missingList } from "./leads";
export { lookStrips } from "./look_strips";
export { phoneScreen } from "./phone";
export { whichInstrument } from "./which_instrument";
export { endScreen } from "./walk_end";
export { signInScreen } from "./sign_in";
export { recordedStrip } from "./recorded";
export { stopTell } from "./stop_tell";
export { dropUnsaved, followTyped, unsavedLine } from "./unsaved";
export { stripsInOrder } from "./visit_more";

/** What an address of a job means, home and walk apart. */
export function jobScreen(stage: Stage, view: JobView, route: JobRoute): Screen {
  return SCREENS[route.name as keyof typeof SCREENS](stage, view, route.arg);
}

const SCREENS = {
  check: oneCheckScreen,
  checks: checksScreen,
  suspects: suspectsScreen,
  hunch: hunchScreen,
  record: recordScreen,
  cause: causeScreen,
  repair: repairScreen,
  proof: proofScreen,
  close: closeScreen,
  "left-off": leftOffScreen,
  note: noteScreen,
  below: belowScreen,
  kit: kitScreen,
  heater: heaterScreen,
  chain: chainScreen,
  agreed: agreedScreen,
  "put-back": putBackScreen,
  "office-told": officeToldScreen,
  words: glossaryScreen,
} satisfies { [name in Exclude<JobRoute["name"], "home" | "walk">]: (stage: Stage, view: JobView, arg: string | null) => Screen };
