// Try: any number of the scenario moved, the chance following.
//
// One job: changes against the file, kept as options side by side, the cheapest mend a tap away.
// The file itself changes only when that is asked for.

import { useMemo } from "preact/hooks";
import { FINEST, restsOn, useQuick, useRefined } from "./asking";
import type { Lanes } from "./engine";
import { isRefusal, type FileNumber, type Outline, type Refusal, type TripJson } from "./protocol";
import { NO_TRYING, type Sheet, type Trying } from "./state";
import { Cautions, Refused, Verdict, Warnings } from "./told";
import { changesInWords, isChanged } from "./try_changes";
import { Mends } from "./try_mend";
import { Numbers } from "./try_numbers";
import { OptionsTable } from "./try_options";
import { ChanceStrip } from "./chance_strip";
import { chance } from "./words";

interface Props {
  lanes: Lanes;
  sheet: Sheet;
  change(part: Partial<Sheet>): void;
}

export function TryScreen({ lanes, sheet, change }: Props) {
  const scenario = { name: sheet.name, text: sheet.text, files: sheet.files };
  const { trying } = sheet;
  const outline = useQuick<Outline>(lanes, { ask: "outline", scenario });
  const listed = useQuick<{ status: number; numbers: FileNumber[] }>(lanes, { ask: "numbers", scenario });
  const changed = { scenario, set: trying.set, off: trying.off, options: {} };
  const trip = useRefined(lanes, { ask: "run", command: "trip", ...changed }, FINEST, { ask: "chance", ...changed });
  const setTrying = (part: Partial<Trying>) => change({ trying: { ...trying, ...part } });
  const numbers = useMemo(() => (listed && !isRefusal(listed) ? listed.numbers : []), [listed]);
  const loads = outline && !isRefusal(outline) ? outline.loads : null;
  // The same fields again for every figure that comes in would take longer than the figure.
  const turning = useMemo(
    () => loads && <Numbers numbers={numbers} loads={loads} trying={trying} setTrying={setTrying} />,
    [numbers, loads, trying],
  );
  if (outline && isRefusal(outline)) return <Refused refusal={outline} />;
  if (!outline || !listed) return <p class="wait">Reading the scenario…</p>;
  const answer = trip.given && "answer" in trip.given ? trip.given.answer : null;
  const interval = trip.chance ?? (answer && (JSON.parse(answer.json) as TripJson).chance_no_shortfall);
  const told = interval && `No shortfall: ${chance(interval)}`;
  const words = changesInWords(trying, numbers);
  const write = async () => {
    const edited = await lanes.look.ask<{ status: number; text: string } | Refusal>({
      ask: "edit",
      scenario,
      set: trying.set,
      off: trying.off,
    });
    if (!isRefusal(edited)) change({ text: edited.text, trying: NO_TRYING });
  };
  return (
    <>
      <div class="short spread">
        <span aria-hidden="true">{told ?? "Working it out…"}</span>
        {interval && <ChanceStrip interval={interval} />}
      </div>
      <section aria-labelledby="try-heading">
        <h2 id="try-heading">{isChanged(trying) ? "With these changes" : "The file as it is"}</h2>
        {words.length > 0 && <ul class="changes">{words.map((word) => <li key={word}>{word}</li>)}</ul>}
        {!trip.chance && trip.given && "refusal" in trip.given && <Refused refusal={trip.given.refusal} />}
        {trip.given && "fault" in trip.given && <p class="refused">The engine stopped at this: {trip.given.fault}</p>}
        {answer && <Verdict answer={answer} label="Why, and night by night" known={trip.chance && told} />}
        {!answer && told && <p class="claim">{told}</p>}
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
              disabled={trip.given !== null && "refusal" in trip.given}
              onClick={write}
            >
              Write it into the file
            </button>
          </div>
        )}
      </section>
      <OptionsTable lanes={lanes} sheet={sheet} change={change} />
      <Mends lanes={lanes} sheet={sheet} take={(set) => change({ trying: { ...trying, set: { ...trying.set, ...set } } })} />
      {turning}
      {answer && <Warnings answers={[answer]} />}
      {answer && <Cautions answers={[answer]} />}
    </>
  );
}
