/** What a photo is of, and a technician's own words about it. */
import { html, nothing, type TemplateResult } from "lit-html";
import type { Draft, JobView, Record_ } from "../core_types";
import type { PhotoAbout } from "../generated/trade";
import { checkTitle } from "../screens/record_read";
import type { Stage } from "../screens/screen";
import { photoPicture } from "./photo_picture";

type Photo = Record_["photos"][number];

/** What stands on the button. */
export const BUTTON: { [about in PhotoAbout]: string } = {
  check: "Photo of the control", plate: "Photo of the rating plate", sheet: "Photo of the maker's sheet", part_label: "Photo of a part's label",
  damage_before: "Photo of damage from before", proof: "A photo of how it stands now", other: "A photo",
};
const OF: { [about in PhotoAbout]?: string } = { plate: "Rating plate", sheet: "Maker's sheet", part_label: "Part label", damage_before: "Damage from before", proof: "How it stands now" };

export function photoOf({ procedure }: JobView, { about, check }: Photo): string {
  return (about && OF[about]) || (check ? checkTitle(procedure, check) : "");
}

/** Older versions wrote their button's words: those are nobody's own. */
export function ownWords({ procedure }: JobView, { words, check }: Photo): string {
  const ofButton = [...Object.values(BUTTON), procedure?.checks.find((one) => one.id === check)?.photo_words];
  return words === null || ofButton.includes(words) ? "" : words;
}

/** The photo with its words, to be said or said otherwise by whoever took it, for as long as the job is open. */
export function photoWords(stage: Stage, view: JobView, { sha256 }: Pick<Photo, "sha256">): TemplateResult | typeof nothing {
  const photo = view.record.photos.findLast((one) => one.sha256 === sha256 && one.by.person_id === stage.core.person.value?.id);
  if (!photo || view.card.state === "closed") return nothing;
  const typed = stage.typed<string | null>(`words of ${sha256}`, null);
  const own = ownWords(view, photo);
  if (typed.value === null) return html`<button class="button quiet" type="button" data-photo-words @click=${() => (typed.value = own)}>${own ? "Put it in other words" : "Say in words what it shows"}</button>`;
  const save = async (): Promise<void> => {
    if (await stage.act(view, [wordsDraft(photo, typed.value?.trim() ?? "")], "words to the photo")) typed.value = null;
  };
  return html`<div class="field"><label for=${`words-${sha256}`}>What it shows, in your own words</label>
      <textarea id=${`words-${sha256}`} rows="2" maxlength="400" .value=${typed.value} @input=${(event: Event) => (typed.value = (event.target as HTMLTextAreaElement).value)}></textarea>
      <p class="soft">The office reads them, and so does the customer, on their sheet.</p></div>
    <div class="pair"><button class="button" type="button" @click=${() => (typed.value = null)}>Leave it</button>
      <button class="button" type="button" data-photo-words-save ?disabled=${stage.busy.value || typed.value.trim() === own} @click=${() => void save()}>Save the words</button></div>`;
}

/** The photo that was taken just here, and the way to its words. */
export function takenHere(stage: Stage, view: JobView, sha256: string, withPicture: boolean): TemplateResult | typeof nothing {
  const photo = view.record.photos.findLast((one) => one.sha256 === sha256);
  if (!photo) return nothing; // taken back
  const own = ownWords(view, photo);
  return html`<div class="taken-here">${withPicture ? photoPicture(stage, sha256, `Photo: ${photoOf(view, photo)}`) : nothing}<div class="taken-words">${withPicture && own ? html`<p>${own}</p>` : nothing}${photoWords(stage, view, photo)}</div></div>`;
}

/** The same photo said anew: who wrote the first word takes it back with it. */
function wordsDraft({ by, ...photo }: Photo, words: string): Draft {
  const { sha256, length_bytes, media_type, width_px, height_px, check, about } = photo;
  const body = { sha256, length_bytes, media_type, width_px, height_px, check, about: about ?? (check === null ? "other" : "check"), ...(words ? { words } : {}) };
  return { kind: "photo_taken", schema: 2, body, replaces: [by.event_id] };
}
