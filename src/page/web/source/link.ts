// A link that carries a scenario in itself.
//
// One job: a scenario into the part of an address that no browser sends anywhere, and out of it
// again. Only for a page of a web space: the address of a file on one device says nothing to
// another.

import type { ScenarioFile } from "./protocol";
import { newSheet, type Store } from "./state";

const MARK = "#scenario=";
/** Longer than any scenario made by hand; what unpacks to more is not taken. */
const MOST_CHARACTERS = 2_000_000;

export function canLink(): boolean {
  return location.protocol.startsWith("http") && "clipboard" in navigator && "CompressionStream" in globalThis;
}

export async function linkTo({ name, text, files }: ScenarioFile): Promise<string> {
  const plain = new Blob([JSON.stringify({ name, text, files })]);
  const packed = await new Response(plain.stream().pipeThrough(new CompressionStream("deflate-raw"))).arrayBuffer();
  const letters = Array.from(new Uint8Array(packed), (byte) => String.fromCharCode(byte)).join("");
  const base = btoa(letters).replace(/\+/g, "-").replace(/\//g, "_").replace(/=+$/, "");
  return `${location.href.split("#")[0]}${MARK}${base}`;
}

async function unpacked(base: string): Promise<ScenarioFile | null> {
  try {
    const packed = Uint8Array.from(atob(base.replace(/-/g, "+").replace(/_/g, "/")), (letter) => letter.charCodeAt(0));
    const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("deflate-raw"));
    const text = await new Response(stream).text();
    if (text.length > MOST_CHARACTERS) return null;
    const file = JSON.parse(text) as ScenarioFile;
    return typeof file.name === "string" && typeof file.text === "string" ? { ...file, files: file.files ?? {} } : null;
  } catch {
    return null;
  }
}

/** Opens the scenario that the address carries, once; a link that carries none changes nothing. */
export async function takeLinked(store: Store): Promise<void> {
  if (!location.hash.startsWith(MARK)) return;
  const file = await unpacked(location.hash.slice(MARK.length));
  history.replaceState(null, "", "#files");
  if (file) {
    const { sheets } = store.state;
    const known = sheets.find((sheet) => sheet.name === file.name && sheet.text === file.text);
    if (known) {
      store.change({ open: known.id });
    } else {
      const sheet = newSheet(file, false, sheets);
      store.change({ sheets: [...sheets, sheet], open: sheet.id });
    }
  }
  dispatchEvent(new HashChangeEvent("hashchange"));
}
