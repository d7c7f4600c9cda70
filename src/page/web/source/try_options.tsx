// Options side by side, on the same trial trips.

import { useEffect, useRef, useState } from "preact/hooks";
import { ask, FINE_TRIALS, withTrials } from "./asking";
import { Stale, type Lanes } from "./engine";
import type { TripJson } from "./protocol";
import { NO_TRYING, type Sheet, type Trying } from "./state";
import { isChanged } from "./try_changes";
import { chance, count, percent } from "./words";

interface Props {
  lanes: Lanes;
  sheet: Sheet;
  change(part: Partial<Sheet>): void;
}

type Result = TripJson | string;

async function tripOf(lanes: Lanes, sheet: Sheet, trying: Trying): Promise<Result> {
  const scenario = { name: sheet.name, text: sheet.text, files: sheet.files };
  const { set, off } = trying;
  const question = withTrials({ ask: "run", command: "trip", scenario, set, off, options: {} }, FINE_TRIALS);
  const given = await ask(lanes.aside, question);
  if ("answer" in given) return JSON.parse(given.answer.json) as TripJson;
  return "refusal" in given ? "no longer fits the file" : "cannot be answered";
}

/** The lowest that nine in ten trips keep above, at the bank where it is least. */
function lowest(json: TripJson): string {
  let least: { id: string; soc: number } | null = null;
  for (const bank of json.banks) {
    if (!least || bank.lowest_soc.p10 < least.soc) least = { id: bank.id, soc: bank.lowest_soc.p10 };
  }
  return least ? `${least.id} ${percent(least.soc)} %` : "–";
}

export function OptionsTable({ lanes, sheet, change }: Props) {
  const results = useRef(new Map<string, Result>());
  const [, redraw] = useState(0);
  const rows: (Trying & { name: string; index: number })[] = [
    { ...NO_TRYING, name: "The file as it is", index: -1 },
    ...sheet.options.map((option, index) => ({ ...option, index })),
  ];
  const keyOf = (row: Trying) => JSON.stringify([sheet.text, row.set, row.off]);
  // Beside a change the file as it is stands to be compared, option or not.
  const isShown = sheet.options.length > 0 || isChanged(sheet.trying);
  const key = JSON.stringify([isShown, rows.map(keyOf)]);
  useEffect(() => {
    if (!isShown) return;
    let isCurrent = true;
    void (async () => {
      for (const row of rows) {
        if (results.current.has(keyOf(row))) continue;
        try {
          const result = await tripOf(lanes, sheet, row);
          results.current.set(keyOf(row), result);
        } catch (error) {
          if (!(error instanceof Stale)) throw error;
        }
        if (!isCurrent) return;
        redraw((times) => times + 1);
      }
    })();
    return () => {
      isCurrent = false;
      lanes.aside.drop(true);
    };
  }, [key]);
  if (!isShown) return null;
  return (
    <section aria-labelledby="options-heading">
      <h2 id="options-heading">Options side by side</h2>
      <div class="scroll" tabIndex={0} role="region" aria-label="Options side by side">
        <table>
          <thead>
            <tr>
              <th scope="col">option</th>
              <th scope="col" class="figure">no shortfall</th>
              <th scope="col" class="figure">9 in 10 stay above</th>
            </tr>
          </thead>
          <tbody>
            {rows.map((row) => {
              const result = results.current.get(keyOf(row));
              return (
                <tr key={row.index}>
                  <th scope="row">
                    {row.name}
                    {row.index >= 0 && (
                      <span class="actions">
                        <button
                          type="button"
                          aria-label={`Take up ${row.name}`}
                          onClick={() => change({ trying: { set: row.set, off: row.off } })}
                        >
                          Take up
                        </button>
                        <button
                          type="button"
                          aria-label={`Remove ${row.name}`}
                          onClick={() => change({ options: sheet.options.filter((_, index) => index !== row.index) })}
                        >
                          Remove
                        </button>
                      </span>
                    )}
                  </th>
                  <td class="figure">
                    {result === undefined ? "…" : typeof result === "string" ? result : chance(result.chance_no_shortfall)}
                  </td>
                  <td class="figure">{result === undefined || typeof result === "string" ? "" : lowest(result)}</td>
                </tr>
              );
            })}
          </tbody>
        </table>
      </div>
      <p class="hint">Each on the same {count(FINE_TRIALS)} random trips.</p>
    </section>
  );
}
