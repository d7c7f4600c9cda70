// What the program's own tests refuse, as broken files: the cases of `refuses_*.rs` that break the base scenario.
//
// One job: their names and texts, read from those tests. Text between quotes there is Rust's, raw or with escapes
// that JSON has too.

import { readFileSync } from "node:fs";
import { join } from "node:path";

const QUOTED = String.raw`(?:r#"([\s\S]*?)"#|("(?:\\.|[^"\\])*"))`;
const CASE = new RegExp(String.raw`^ {4}(refuses_\w+):\s+${QUOTED} => ${QUOTED},`, "gm");

/** Cases that no form can bring about, and why. */
export const BY_HAND = {
  refuses_an_unknown_key: "a form has the known keys alone",
  refuses_an_unknown_key_unlike_any: "a form has the known keys alone",
  refuses_a_doubled_key: "a form writes a key once",
  refuses_a_comment: "a form writes JSON",
  refuses_a_trailing_comma: "a form writes JSON",
  refuses_a_missing_comma: "a form writes JSON",
  refuses_a_decimal_without_its_zero: "a form writes JSON",
  refuses_an_open_string: "a form writes JSON",
  refuses_an_unknown_escape: "a form writes JSON",
  refuses_a_raw_control_character: "a form writes JSON",
};

export function refusals(top) {
  const base = readFileSync(join(top, "tests/one_run/base.json"), "utf8");
  return ["scenarios", "system", "trip"].flatMap((subject) => {
    const tests = readFileSync(join(top, `tests/refuses_${subject}.rs`), "utf8");
    return [...tests.matchAll(CASE)].map(([, name, raw, plain, rawBy, plainBy]) => ({
      name,
      text: base.replace(raw ?? JSON.parse(plain), () => rawBy ?? JSON.parse(plainBy)),
    }));
  });
}
