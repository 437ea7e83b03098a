/** A photo that this phone holds, shown from its own store; one that it does not hold is said to be elsewhere. */
import { html, type TemplateResult } from "lit-html";
import type { Stage } from "../screens/screen";

/** Addresses of the bytes, made once for each photo in the life of the page. */
const hrefs = new Map<string, string>();

export function photoPicture(stage: Stage, sha256: string, words: string): TemplateResult {
  const state = stage.local<"new" | "asked" | "absent" | "here">(`photo ${sha256}`, hrefs.has(sha256) ? "here" : "new");
  if (state.value === "new") queueMicrotask(() => void fetchBytes());
  const fetchBytes = async (): Promise<void> => {
    state.value = "asked";
    const bytes = await stage.core.photoBytes(sha256).catch(() => null);
    if (bytes) hrefs.set(sha256, URL.createObjectURL(new Blob([bytes], { type: "image/jpeg" })));
    state.value = bytes ? "here" : "absent";
  };
  const href = hrefs.get(sha256);
  if (href) return html`<img class="picture" src=${href} alt=${words || "photo of this job"} loading="lazy" />`;
  return html`<p class="soft">${state.value === "absent" ? "This photo is on another phone or in the office." : "Fetching the photo…"}</p>`;
}
