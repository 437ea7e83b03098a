// While the call is being typed: a line where the words mention gas, an alarm or somebody unwell and the question is not ticked.
// Without this script the page says it once it is sent, and the job's page does too.

const PAUSE_MS = 400;
const WORDS = ["complaint_words", "since_words", "home_words", "lately_words", "lights_words"];
const TICKS = ["smell_of_gas", "co_alarm", "unwell"];
const place = document.getElementById("mentions");
const form = place.closest("form");
let timer = 0;
let asked = 0;

async function show() {
  const mine = ++asked;
  const typed = new FormData(form);
  const body = new URLSearchParams(["csrf_token", ...WORDS, ...TICKS].map((name) => [name, typed.get(name) ?? ""]));
  try {
    const answer = await fetch(place.dataset.ask, { method: "POST", body, headers: { Accept: "text/html" } });
    if (!answer.ok || answer.redirected) return;
    const html = await answer.text();
    if (mine === asked && html.trim() !== place.innerHTML.trim()) place.innerHTML = html; // the same again is not read aloud again
  } catch {
    // No network: the job's page says it after the booking.
  }
}

form.addEventListener("input", ({ target }) => {
  if (!WORDS.includes(target.name) && !TICKS.includes(target.name)) return;
  clearTimeout(timer);
  timer = setTimeout(show, PAUSE_MS);
});
if (WORDS.some((name) => form.elements[name]?.value)) timer = setTimeout(show, PAUSE_MS); // brought back by office_keep.js
