// The cheapest change that makes the trip work, found by the engine, taken up with a tap.

import { useEffect, useState } from "preact/hooks";
import { ask, FINE_TRIALS, withTrials, type Given } from "./asking";
import { Stale, type Lanes } from "./engine";
import type { MendJson } from "./protocol";
import type { Sheet } from "./state";
import { Refused, Verdict } from "./told";
import { chance } from "./words";

interface Props {
  lanes: Lanes;
  sheet: Sheet;
  take(set: Record<string, unknown>): void;
}

export function Mends({ lanes, sheet, take }: Props) {
  const [given, setGiven] = useState<Given | null>(null);
  const [isWorking, setWorking] = useState(false);
  useEffect(() => {
    setGiven(null);
    setWorking(false);
    return () => lanes.asked.drop(true);
  }, [sheet.text, sheet.id]);
  const find = async () => {
    setWorking(true);
    try {
      const scenario = { name: sheet.name, text: sheet.text, files: sheet.files };
      const question = { ask: "run", command: "mend", scenario, options: {} } as const;
      setGiven(await ask(lanes.asked, withTrials(question, FINE_TRIALS)));
      setWorking(false);
    } catch (error) {
      if (!(error instanceof Stale)) throw error;
    }
  };
  const json = given && "answer" in given ? (JSON.parse(given.answer.json) as MendJson) : null;
  return (
    <section aria-labelledby="mend-heading">
      <h2 id="mend-heading">The cheapest change that makes it work</h2>
      {!given && (
        <button type="button" disabled={isWorking} onClick={() => void find()}>
          {isWorking ? "Looking for it…" : "Look for it"}
        </button>
      )}
      {isWorking && (
        <p class="hint" role="status">
          Every part is tried larger and smaller, alone and in pairs: this may take minutes.
        </p>
      )}
      {given && "refusal" in given && <Refused refusal={given.refusal} />}
      {given && "fault" in given && <p class="refused">The engine stopped at this question: {given.fault}</p>}
      {given && "answer" in given && <Verdict answer={given.answer} label="How it was found" />}
      {json && json.mends.length > 0 && (
        <ul class="mends">
          {json.mends.map((mend) => (
            <li key={mend.text}>
              <p>
                <strong>{mend.text}</strong>: no shortfall {chance(mend.chance)}
                {mend.free ? "; costs nothing" : mend.price === null ? "" : `; price ${mend.price}`}
                {mend.mass_kg ? `; ${mend.mass_kg} kg` : ""}
              </p>
              <button
                type="button"
                aria-label={`Try this: ${mend.text}`}
                onClick={() => take(Object.fromEntries(mend.changes.map(({ key, to }) => [key, to])))}
              >
                Try this
              </button>
            </li>
          ))}
        </ul>
      )}
      {json && json.useless.length > 0 && (
        <details>
          <summary>What does not help</summary>
          <ul>
            {json.useless.map(({ text }) => (
              <li key={text}>{text}</li>
            ))}
          </ul>
        </details>
      )}
    </section>
  );
}
