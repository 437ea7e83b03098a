/** Signing in: one short code, typed once, with signal. */
import { html } from "lit-html";
import type { Screen, Stage } from "./screen";

const CODE_LENGTH = 8;

export function signInScreen(stage: Stage): Screen {
  const typed = stage.local("code", "");
  const submit = async (event: Event): Promise<void> => {
    event.preventDefault();
    if (await stage.attempt(() => stage.core.enrol(typed.value))) stage.go("#/jobs");
  };
  const onInput = (event: Event): void => {
    const input = event.target as HTMLInputElement;
    typed.value = tidyCode(input.value);
    input.value = shownCode(typed.value);
    stage.fault.value = null;
  };
  const fault = stage.fault.value !== null;
  return {
    title: "Sign in",
    key: "sign-in",
    body: html`<form class="sign-in" @submit=${submit}>
      <h1 tabindex="-1">Sign in with your code</h1>
      <p>The office gives you a short code. You need it once, with signal. After that this phone works below ground.</p>
      <p class="strip" data-kind="caution">Smell of gas, a CO alarm, or anybody unwell: everybody out first, then call from outside.</p>
      <div class="field">
        <label for="code">Code</label>
        <input id="code" class="code-input" name="code" inputmode="text" autocomplete="one-time-code" autocapitalize="characters" spellcheck="false"
          autocorrect="off" maxlength="12" aria-invalid=${fault ? "true" : "false"} aria-describedby=${fault ? "fault" : "code-more"} .value=${shownCode(typed.value)} @input=${onInput} />
        <p id="code-more" class="soft">Capitals or small letters: both will do.</p>
      </div>
      <button class="button wide" data-lamp ?disabled=${typed.value.length < CODE_LENGTH || stage.busy.value}>
        ${stage.busy.value ? "Signing in…" : "Sign in"}
      </button>
    </form>`,
  };
}

/** Capitals and digits only, so that spaces, dashes and small letters do no harm. */
export function tidyCode(typed: string): string {
  return typed.toUpperCase().replace(/[^A-Z0-9]/g, "").slice(0, CODE_LENGTH);
}

/** In two halves, as it is read aloud. */
export function shownCode(code: string): string {
  return code.length > CODE_LENGTH / 2 ? `${code.slice(0, CODE_LENGTH / 2)} ${code.slice(CODE_LENGTH / 2)}` : code;
}
