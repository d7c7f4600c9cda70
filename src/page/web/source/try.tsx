// Try: any number of the scenario moved, the chance following.
//
// One job: changes against the file, kept as options side by side, the cheapest mend a tap away.
// The file itself changes only when that is asked for.

import { FINEST, restsOn, useQuick, useRefined } from "./asking";
import type { Lanes } from "./engine";
import { Stepper } from "./fields";
import { isRefusal, type FileNumber, type Outline, type Part, type Refusal, type TripJson } from "./protocol";
import { NO_TRYING, type Sheet, type Trying } from "./state";
import { Cautions, Refused, Verdict, Warnings } from "./told";
import { changesInWords, isChanged } from "./try_changes";
import { Mends } from "./try_mend";
import { OptionsTable } from "./try_options";
import { ChanceStrip } from "./chance_strip";
import { chance, inPercent, quantity } from "./words";

const GROUPS: [string, string][] = [
  ["banks", "Batteries"],
  ["solar", "Panels"],
  ["chargers", "Chargers"],
  ["itinerary", "Driving and nights"],
  ["loads", "What the loads take"],
  ["alternator", "Alternator"],
  ["", "Everything else"],
];

interface Props {
  lanes: Lanes;
  sheet: Sheet;
  change(part: Partial<Sheet>): void;
}

function groupOf(key: string): string {
  const head = key.split(".")[0] ?? "";
  return GROUPS.some(([group]) => group === head) ? head : "";
}

export function TryScreen({ lanes, sheet, change }: Props) {
  const scenario = { name: sheet.name, text: sheet.text, files: sheet.files };
  const { trying } = sheet;
  const outline = useQuick<Outline>(lanes, { ask: "outline", scenario });
  const listed = useQuick<{ status: number; numbers: FileNumber[] }>(lanes, { ask: "numbers", scenario });
  const edited = useQuick<{ status: number; text: string }>(
    lanes,
    { ask: "edit", scenario, set: trying.set, off: trying.off },
  );
  const text = edited && !isRefusal(edited) ? edited.text : null;
  const trip = useRefined(
    lanes,
    text === null ? null : { ask: "run", command: "trip", scenario: { ...scenario, text }, options: {} },
    FINEST,
  );
  if (outline && isRefusal(outline)) return <Refused refusal={outline} />;
  if (!outline || !listed) return <p class="wait">Reading the scenario…</p>;
  const numbers = isRefusal(listed) ? [] : listed.numbers;
  const answer = trip.given && "answer" in trip.given ? trip.given.answer : null;
  const json = answer ? (JSON.parse(answer.json) as TripJson) : null;
  const setTrying = (part: Partial<Trying>) => change({ trying: { ...trying, ...part } });
  const put = (number: FileNumber, value: number | null) => {
    const set = { ...trying.set };
    if (value === null || value === number.value) delete set[number.key];
    else set[number.key] = value;
    setTrying({ set });
  };
  const turn = (load: Part, off: boolean) => {
    const key = `loads.${load.id}`;
    const set = { ...trying.set };
    delete set[`${key}.off`];
    const others = trying.off.filter((other) => other !== key);
    if (load.off === true && !off) set[`${key}.off`] = false;
    setTrying({ set, off: off && load.off !== true ? [...others, key] : others });
  };
  const words = changesInWords(trying, numbers);
  return (
    <>
      <div class="short spread">
        <span aria-hidden="true">{json ? `No shortfall: ${chance(json.chance_no_shortfall)}` : "Working it out…"}</span>
        {json && <ChanceStrip interval={json.chance_no_shortfall} />}
      </div>
      <section aria-labelledby="try-heading">
        <h2 id="try-heading">{isChanged(trying) ? "With these changes" : "The file as it is"}</h2>
        {words.length > 0 && <ul class="changes">{words.map((word) => <li key={word}>{word}</li>)}</ul>}
        {edited && isRefusal(edited) && <Refused refusal={edited as Refusal} />}
        {trip.given && "refusal" in trip.given && <Refused refusal={trip.given.refusal} />}
        {trip.given && "fault" in trip.given && <p class="refused">The engine stopped at this: {trip.given.fault}</p>}
        {answer && <Verdict answer={answer} label="Why, and night by night" />}
        <p class="hint" role="status">
          {restsOn(trip)}
        </p>
        {isChanged(trying) && (
          <div class="actions">
            <button
              type="button"
              onClick={() =>
                change({
                  options: [...sheet.options, { ...trying, name: words.join("; ") }],
                })
              }
            >
              Keep as an option
            </button>
            <button type="button" onClick={() => change({ trying: NO_TRYING })}>
              Back to the file
            </button>
            <button
              type="button"
              disabled={text === null}
              onClick={() => text !== null && change({ text, trying: NO_TRYING })}
            >
              Write it into the file
            </button>
          </div>
        )}
      </section>
      <OptionsTable lanes={lanes} sheet={sheet} change={change} />
      <Mends lanes={lanes} sheet={sheet} take={(set) => change({ trying: { ...trying, set: { ...trying.set, ...set } } })} />
      <section aria-labelledby="turn-heading">
        <h2 id="turn-heading">Change a number</h2>
        {GROUPS.map(([group, title]) => {
          const members = numbers.filter((number) => groupOf(number.key) === group);
          if (members.length === 0) return null;
          return (
            <details key={group} open={group === "banks"}>
              <summary>{title}</summary>
              {members.map((number) => {
                const now = trying.set[number.key];
                const isShare = number.unit === "share";
                const shown = (value: number) => (isShare ? inPercent(value) : value);
                return (
                  <Stepper
                    key={number.key}
                    label={number.label}
                    unit={isShare ? "%" : number.unit}
                    value={shown(typeof now === "number" ? now : number.value)}
                    min={shown(number.min)}
                    max={shown(number.max)}
                    step={shown(number.step)}
                    slider
                    hint={
                      now === undefined
                        ? number.given
                          ? undefined
                          : "Assumed: the file does not say."
                        : `In the file: ${quantity(number.value, number.unit)}.`
                    }
                    change={(value) => put(number, value === null || !isShare ? value : Number((value / 100).toPrecision(12)))}
                  />
                );
              })}
            </details>
          );
        })}
        <details>
          <summary>Loads on and off</summary>
          {outline.loads.map((load) => {
            const key = `loads.${load.id}`;
            const switched = trying.set[`${key}.off`];
            const isOff = trying.off.includes(key) || (typeof switched === "boolean" ? switched : load.off === true);
            return (
              <label key={key} class="tick">
                <input
                  type="checkbox"
                  checked={!isOff}
                  onChange={() => turn(load, !isOff)}
                />
                <span>
                  {load.name ?? load.id}
                  {load.bank && <span class="muted"> on {load.bank}</span>}
                </span>
              </label>
            );
          })}
        </details>
      </section>
      {answer && <Warnings answers={[answer]} />}
      {answer && <Cautions answers={[answer]} />}
    </>
  );
}
