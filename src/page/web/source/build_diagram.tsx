// The one-line diagram beside the form: what depends on which bank.

import { useState } from "preact/hooks";
import { useAside } from "./asking";
import type { Lanes } from "./engine";
import { Picture } from "./papers";
import type { Sheet } from "./state";
import { Cautions } from "./told";

export function Diagram({ lanes, sheet }: { lanes: Lanes; sheet: Sheet }) {
  const [isOpen, setOpen] = useState(false);
  const scenario = { name: sheet.name, text: sheet.text, files: sheet.files };
  const [given] = useAside(lanes, [{ ask: "run", command: "wiring", scenario, options: {}, files: true }], isOpen);
  const svg = given && "answer" in given ? given.answer.files?.["wiring.svg"] : undefined;
  return (
    <details onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>Picture: what depends on which bank</summary>
      {isOpen && !given && <p class="wait">Drawing…</p>}
      {given && "answer" in given && <Cautions answers={[given.answer]} />}
      {svg && <Picture name="wiring.svg" svg={svg} />}
      {given && !svg && <p class="hint">No picture can be drawn of this yet.</p>}
    </details>
  );
}
