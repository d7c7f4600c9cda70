// Changes to a scenario's text that leave the rest of it byte for byte as it was.
//
// One job: a path and a value into the text. Notes, order and spacing elsewhere stay the person's.

import { applyEdits, findNodeAtLocation, modify, parseTree, type JSONPath } from "jsonc-parser";

export type Path = JSONPath;

const LAYOUT = { insertSpaces: true, tabSize: 2, eol: "\n" };

export function valueOf(text: string): unknown {
  try {
    return JSON.parse(text.replace(/^\uFEFF/, ""));
  } catch {
    return null;
  }
}

/** The text with the value at the path; `undefined` takes the key or item away. */
export function withValue(text: string, path: Path, value: unknown): string {
  return applyEdits(text, modify(text, path, value, { formattingOptions: LAYOUT }));
}

export function withItem(text: string, path: Path, index: number, value: unknown): string {
  return applyEdits(
    text,
    modify(text, [...path, index], value, { formattingOptions: LAYOUT, isArrayInsertion: true }),
  );
}

/** Two neighbours of a list changed about, each with its own bytes. */
export function withSwapped(text: string, path: Path, first: number): string {
  const root = parseTree(text);
  const one = root && findNodeAtLocation(root, [...path, first]);
  const other = root && findNodeAtLocation(root, [...path, first + 1]);
  if (!one || !other) return text;
  const bytes = (node: { offset: number; length: number }) => text.slice(node.offset, node.offset + node.length);
  return (
    text.slice(0, one.offset) +
    bytes(other) +
    text.slice(one.offset + one.length, other.offset) +
    bytes(one) +
    text.slice(other.offset + other.length)
  );
}
