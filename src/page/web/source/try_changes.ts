// What is tried, in words.

import type { FileNumber } from "./protocol";
import type { Trying } from "./state";
import { quantity } from "./words";

export function isChanged(trying: Trying): boolean {
  return Object.keys(trying.set).length > 0 || trying.off.length > 0;
}

/** One short phrase a change. */
export function changesInWords(trying: Trying, numbers: FileNumber[]): string[] {
  const set = Object.entries(trying.set).map(([key, value]) => {
    const load = /^loads\.(.+)\.off$/.exec(key)?.[1];
    if (load) return value === true ? `without ${load}` : `with ${load}`;
    const number = numbers.find((candidate) => candidate.key === key);
    const text = typeof value === "number" || typeof value === "string" ? value : JSON.stringify(value);
    return `${number?.label ?? key} ${quantity(text, number?.unit ?? "")}`;
  });
  return [...set, ...trying.off.map((key) => `without ${key.replace(/^loads\./, "")}`)];
}
