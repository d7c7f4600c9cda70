// Where in the form a problem is shown.
//
// One job: the check's pointer to the field that says it, or to the nearest part around it that the form has. A
// pointer leads nowhere in the form where a file was written by hand: a key that is not known, a list for a number.

import type { Path } from "./edit_text";
import { formOf, kindOf, resolved, type Schema } from "./schema";

export function partsOf(pointer: string): string[] {
  return pointer.split("/").slice(1).map((part) => part.replace(/~1/g, "/").replace(/~0/g, "~"));
}

/** The path of what the form shows for the pointer: its own field, or the last part on the way to it. */
export function shownAt(root: Schema, scenario: unknown, pointer: string): Path {
  let [schema, value, path]: [Schema, unknown, Path] = [root, scenario, []];
  for (const part of partsOf(pointer)) {
    let whole = resolved(schema, root);
    if (kindOf(whole, root) === "one-of") {
      const forms = whole.anyOf ?? [];
      whole = resolved(forms[formOf(value, forms, root)] ?? {}, root);
    }
    const kind = kindOf(whole, root);
    if (kind === "group") {
      const inner = whole.properties?.[part];
      const given = (value ?? {}) as Record<string, unknown>;
      // What is missing has an empty field there as soon as the check speaks of it.
      if (!inner) return path;
      [schema, value, path] = [inner, given[part], [...path, part]];
    } else if (kind === "list") {
      const index = Number(part);
      if (!Array.isArray(value) || !(index < value.length)) return path;
      [schema, value, path] = [whole.items ?? {}, value[index], [...path, index]];
    } else {
      return path;
    }
  }
  return path;
}
