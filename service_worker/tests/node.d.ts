/** The few names of Node that the tests use; the shell itself must not see any of Node. */
declare module "node:test" {
  export function test(name: string, run: () => Promise<void> | void): void;
}
declare module "node:assert/strict" {
  interface Assert {
    ok(value: unknown, message?: string): asserts value;
    equal(actual: unknown, expected: unknown, message?: string): void;
    notEqual(actual: unknown, expected: unknown, message?: string): void;
    deepEqual(actual: unknown, expected: unknown, message?: string): void;
    rejects(promise: Promise<unknown>, expected: (error: unknown) => boolean, message?: string): Promise<void>;
  }
  const assert: Assert;
  export default assert;
}
declare module "node:fs" {
  export function readFileSync(path: string): Uint8Array;
  export function readFileSync(path: string, encoding: "utf8"): string;
  export function writeFileSync(path: string, text: string): void;
}
declare module "node:crypto" {
  export function createHash(name: string): { update(bytes: Uint8Array): { digest(form: "hex"): string } };
}
declare module "fake-indexeddb/auto";
declare const process: { argv: string[]; env: { [name: string]: string | undefined }; exit(code: number): never; on(name: string, run: (error: unknown) => void): void };
