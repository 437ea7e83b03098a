/** As much of a page as the screens' own listeners want; what it hears can be sent. */
const heard = new Map<string, (() => void)[]>();
const addEventListener = (name: string, run: () => void): void => void heard.set(name, [...(heard.get(name) ?? []), run]);
export const page = { hidden: false, send: (name: string): void => (heard.get(name) ?? []).forEach((run) => run()) };

Object.assign(globalThis, { addEventListener, document: { addEventListener, createTreeWalker: () => null, get hidden() { return page.hidden; } } });
