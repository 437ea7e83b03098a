/** Lamp or daylight: remembered on this phone, the lamp where nothing was chosen. */
export type Look = "dark" | "light" | "device";

const KEY = "undercroft-look";
const BAR_COLOURS = { dark: "#14110d", light: "#fbf6ec" };

export function lookNow(): Look {
  try {
    const kept = localStorage.getItem(KEY);
    return kept === "light" || kept === "device" ? kept : "dark";
  } catch {
    return "dark"; // storage refused: the lamp
  }
}

export function chooseLook(look: Look): void {
  try {
    localStorage.setItem(KEY, look);
  } catch {
    // not remembered; still shown
  }
  showLook(look);
}

export function showLook(look: Look): void {
  const root = document.documentElement;
  if (look === "device") delete root.dataset["theme"];
  else root.dataset["theme"] = look;
  const dark = look === "dark" || (look === "device" && matchMedia("(prefers-color-scheme: dark)").matches);
  document.querySelector('meta[name="theme-color"]')?.setAttribute("content", BAR_COLOURS[dark ? "dark" : "light"]);
}
