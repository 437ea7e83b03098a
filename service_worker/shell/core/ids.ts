/** UUID version 7 (RFC 9562, section 5.7): 48 bits of milliseconds, then random bits. */

export function uuid7(nowMs: number, random: Uint8Array): string {
  const bytes = new Uint8Array(16);
  bytes.set(random.subarray(0, 10), 6);
  let rest = Math.max(0, Math.floor(nowMs));
  for (let i = 5; i >= 0; i--) {
    bytes[i] = rest % 256;
    rest = Math.floor(rest / 256);
  }
  bytes[6] = (bytes[6]! & 0x0f) | 0x70;
  bytes[8] = (bytes[8]! & 0x3f) | 0x80;
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}
