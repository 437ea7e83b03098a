// What was typed into a form that was then not saved (signed out meanwhile, refused, a fault of ours) is brought back into the same form, once,
// for the same person. The call's page has a keeping of its own (office_keep.js). It stays in this tab and goes with it.

const KEPT = "undercroft-form";
const NEVER = ["hidden", "password", "file", "submit", "button"];
const who = document.body.dataset.person ?? "";
const isMark = (one) => one.type === "radio" || one.type === "checkbox";
const fieldsOf = (form) => [...form.elements].filter((one) => one.name && !NEVER.includes(one.type));
const actionOf = (form) => new URL(form.getAttribute("action") || location.href, location.href).pathname;

function read() {
  try {
    return JSON.parse(sessionStorage.getItem(KEPT) ?? "null");
  } catch {
    return null; // no storage here: the page works without
  }
}

function write(sent) {
  try {
    if (sent) sessionStorage.setItem(KEPT, JSON.stringify(sent));
    else sessionStorage.removeItem(KEPT);
  } catch {
    // no storage, or full: nothing is promised then
  }
}

function bringBack(sent) {
  const form = [...document.querySelectorAll("main form[method=post]")].find((one) => actionOf(one) === sent.action);
  if (!form) return false;
  const fields = fieldsOf(form);
  for (const [at, [name, value, marked]] of sent.typed.entries()) {
    const field = fields[at]?.name === name ? fields[at] : fields.find((one) => one.name === name && (!isMark(one) || one.value === value));
    if (!field) continue;
    if (isMark(field)) field.checked = marked;
    else field.value = value;
  }
  form.closest("details")?.setAttribute("open", "");
  const told = Object.assign(document.createElement("p"), { className: "strip", textContent: "Not saved yet: what you typed is back. Look it over and send it again." });
  told.dataset.kind = "caution";
  told.setAttribute("role", "status");
  form.prepend(told);
  told.scrollIntoView({ block: "center" });
  return true;
}

document.addEventListener("submit", ({ target: form }) => {
  if (form.method !== "post" || "keep" in form.dataset || !form.closest("main") || !who) return;
  const typed = fieldsOf(form).map((one) => [one.name, one.value, Boolean(one.checked)]);
  if (typed.length) write({ who, action: actionOf(form), typed, refused: false });
});

/** On the error page too, to be read and copied: the page that it belongs to may not have its form any more. */
function show(place) {
  const list = place.appendChild(document.createElement("details"));
  list.append(Object.assign(document.createElement("summary"), { textContent: "What you typed" }));
  for (const [, value, marked] of sent.typed) {
    if (value && !marked) list.append(Object.assign(document.createElement("p"), { textContent: value }));
  }
}

const sent = read();
const place = document.querySelector("[data-not-saved]");
if (sent && place) {
  write({ ...sent, refused: true });
  if (document.body.dataset.person === sent.who) show(place); // signed out, anybody may stand here
}
else if (sent && who) {
  if (!sent.refused || sent.who !== who || bringBack(sent)) write(null); // answered as usual, somebody else's, or back where it was
}
