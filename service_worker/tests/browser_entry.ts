/** The core alone, for tests in a real browser: no screens, the same store, the same server. */
export { createCore } from "../shell/core/index";
export { DATABASE_VERSION } from "../shell/core/schema";
