/** Takes a photo, makes it small enough for a slow line, and hands over its bytes and their hash. */
import { html, nothing, type TemplateResult } from "lit-html";
import { CoreError, type Draft, type JobView, type Photo } from "../core_types";
import type { PhotoAbout } from "../generated/trade";
import type { Stage } from "../screens/screen";
import { BUTTON, takenHere } from "./photo_words";

export const PHOTO_MOST_BYTES = 400_000;
const LONG_SIDE_PX = 1600;
const QUALITIES = [0.82, 0.7, 0.58, 0.45];
const SHRINK = 0.75;

interface Of {
  check?: string;
  /** what a check calls its photo */
  words?: string | null;
  /** what follows under the button: where the screen shows its photos anyway, less */
  then?: "picture" | "words" | "nothing";
}

/** A photo is saved as soon as it is small enough; what it shows can be said afterwards, in words. */
export function photoButton(stage: Stage, view: JobView, about: PhotoAbout, { check, words, then = "picture" }: Of = {}): TemplateResult {
  const making = stage.local(`making ${about}`, false);
  const taken = stage.local<string | null>(`taken ${about}`, null);
  const take = async (event: Event): Promise<void> => {
    const input = event.target as HTMLInputElement;
    const file = input.files?.[0];
    input.value = "";
    if (!file) return;
    making.value = true;
    let photo: Photo | null = null;
    await stage.attempt(async () => void (photo = await shrinkPhoto(file)));
    making.value = false;
    if (photo && (await stage.act(view, [photoDraft(photo, check ?? null, about)], "photo", photo))) taken.value = (photo as Photo).sha256;
  };
  return html`<label class="button photo">
      <input class="out-of-sight" type="file" accept="image/*" capture="environment" ?disabled=${stage.busy.value} @change=${take} />
      <svg class="icon" viewBox="0 0 24 24" aria-hidden="true"><path d="M3 7h4l2-3h6l2 3h4v13H3z" /><circle cx="12" cy="13" r="4" /></svg>
      <span aria-live="polite">${making.value ? "Making the photo smaller…" : words || BUTTON[about]}</span>
    </label>
    ${taken.value && then !== "nothing" ? takenHere(stage, view, taken.value, then === "picture") : nothing}`;
}

function photoDraft(photo: Photo, check: string | null, about: PhotoAbout): Draft {
  const { sha256, width_px, height_px, bytes } = photo;
  return { kind: "photo_taken", schema: 2, body: { sha256, length_bytes: bytes.byteLength, media_type: "image/jpeg", width_px, height_px, check, about } };
}

/** Scales to 1600 px on the long side, then lowers the quality, then the size, until the JPEG is at most 400 kB. */
export async function shrinkPhoto(file: Blob): Promise<Photo> {
  const picture = await createImageBitmap(file, { imageOrientation: "from-image" }).catch(() => {
    throw new CoreError("photo_unreadable", "This phone cannot read that picture.");
  });
  try {
    let scale = Math.min(1, LONG_SIDE_PX / Math.max(picture.width, picture.height));
    for (;;) {
      const canvas = drawn(picture, scale);
      for (const quality of QUALITIES) {
        const bytes = await (await jpegOf(canvas, quality)).arrayBuffer();
        if (bytes.byteLength <= PHOTO_MOST_BYTES) return { bytes, sha256: await hexHash(bytes), width_px: canvas.width, height_px: canvas.height };
      }
      scale *= SHRINK;
    }
  } finally {
    picture.close();
  }
}

function drawn(picture: ImageBitmap, scale: number): HTMLCanvasElement {
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(picture.width * scale));
  canvas.height = Math.max(1, Math.round(picture.height * scale));
  canvas.getContext("2d")?.drawImage(picture, 0, 0, canvas.width, canvas.height);
  return canvas;
}

function jpegOf(canvas: HTMLCanvasElement, quality: number): Promise<Blob> {
  return new Promise((resolve, reject) => {
    canvas.toBlob((blob) => (blob ? resolve(blob) : reject(new Error("the photo could not be made smaller"))), "image/jpeg", quality);
  });
}

async function hexHash(bytes: ArrayBuffer): Promise<string> {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
}
