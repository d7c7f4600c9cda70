// Outlines of coasts and borders, unpacked for drawing.
//
// One job: outline.bin to two paths. What the file holds and how it is made stands in pack_outline.mjs.

import packed from "./outline.bin";

/** Steps of the packed lines in a degree; the paths count in them, y to the south. */
export const STEPS_PER_DEG = 100;

export interface Outlines {
  /** Closed rings. */
  land: string;
  borders: string;
}

async function unpacked(): Promise<Outlines> {
  const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"));
  const bytes = new Uint8Array(await new Response(stream).arrayBuffer());
  let at = 0;
  const number = () => {
    let [value, unit] = [0, 1];
    for (;;) {
      const byte = bytes[at++] ?? 0;
      value += (byte & 127) * unit;
      if (byte < 128) return value;
      unit *= 128;
    }
  };
  const signed = () => {
    const value = number();
    return value % 2 === 0 ? value / 2 : -(value + 1) / 2;
  };
  const path = (end: string) => {
    const parts: string[] = [];
    for (let lines = number(); lines > 0; lines -= 1) {
      for (let points = number(), first = true; points > 0; points -= 1, first = false) {
        parts.push(`${first ? "M" : "l"}${signed()} ${-signed()}`);
      }
      parts.push(end);
    }
    return parts.join("");
  };
  return { land: path("z"), borders: path("") };
}

let outlines: Promise<Outlines> | null = null;

/** Unpacked once, when a map is first drawn. */
export function outlinesOf(): Promise<Outlines> {
  outlines ??= unpacked();
  return outlines;
}
