// On the road: can we stay another night?
//
// One job: today and here, the meters and the sky in; nights, the rest of the trip, what to switch
// off and how long to drive out.

import type { Lanes } from "./engine";
import {
  ASIDE_TRIALS,
  FINE,
  FINE_TRIALS,
  first,
  restsOn,
  useAside,
  useQuick,
  useRefined,
  withTrials,
  type Given,
} from "./asking";
import {
  isRefusal,
  type Options,
  type Outline,
  type Question,
  type Refusal,
  type ScenarioFile,
  type StayJson,
} from "./protocol";
import { RoadInputs } from "./road_inputs";
import { Cautions, Refused, Verdict, Warnings } from "./told";
import type { Opening, Road, Sheet } from "./state";
import { chance, clockIn, day, nights } from "./words";
import { DawnTable } from "./road_nights";

/** The moment asked about: as said, else by the device's clock, else where the plan first stops. */
export function momentOf(road: Road, outline: Outline): string {
  if (road.now) return road.now;
  const clock = clockIn(outline.zone);
  const start = outline.start.slice(0, 16);
  if (clock >= start && clock <= outline.end.slice(0, 16)) return clock;
  return outline.stops[0]?.arrive.slice(0, 16) ?? start;
}

export function hereOptions(road: Road, now: string): Options {
  const options: Options = { now };
  if (road.at) options.at = road.at;
  if (road.nights !== null) options.nights = road.nights;
  const soc = Object.entries(road.soc).map(([bank, value]) => `${bank}=${value}%`);
  if (soc.length > 0) options.soc = soc;
  const sky = Object.entries(road.sky)
    .filter(([date]) => date >= now.slice(0, 10))
    .map(([date, weather]) => `${date}=${weather}`);
  if (sky.length > 0) options.sky = sky;
  return options;
}

function scenarioOf({ name, text, files }: Sheet): ScenarioFile {
  return { name, text, files };
}

function runOf(command: string, scenario: ScenarioFile, options: Options): Question {
  return { ask: "run", command, scenario, options };
}

/** Asks the screen's first questions before it is drawn. */
export async function askAhead(lanes: Lanes, sheet: Sheet): Promise<void> {
  const scenario = scenarioOf(sheet);
  const outline = await lanes.look.askAhead<Outline | Refusal>({ ask: "outline", scenario });
  if (isRefusal(outline)) return;
  const options = hereOptions(sheet.road, momentOf(sheet.road, outline));
  await lanes.quick.askAhead(first(runOf("stay", scenario, options)));
}

interface Props {
  lanes: Lanes;
  opening: Opening;
  sheet: Sheet;
  change(road: Partial<Road>): void;
}

export function RoadScreen({ lanes, opening, sheet, change }: Props) {
  const scenario = scenarioOf(sheet);
  const { road } = sheet;
  const read = useQuick<Outline>(lanes, { ask: "outline", scenario });
  const outline = read && !isRefusal(read) ? read : null;
  const now = outline ? momentOf(road, outline) : null;
  const placed = useQuick<Outline>(lanes, now ? { ask: "outline", scenario, now } : null);
  const options = now ? hereOptions(road, now) : null;
  const run = (command: string): Question | null => options && runOf(command, scenario, options);
  const stay = useRefined(lanes, run("stay"), FINE);
  const aside = useAside(
    lanes,
    // The trip in as many trials as the stay: one chance told twice on a screen is one figure.
    [["trip", FINE_TRIALS] as const, ["shed", ASIDE_TRIALS] as const, ["topup", ASIDE_TRIALS] as const].map(
      ([command, trials]) => {
        const question = run(command);
        return question && withTrials(question, trials);
      },
    ),
    stay.trials > 0,
  );
  if (read && isRefusal(read)) return <Refused refusal={read} />;
  if (!outline || !now) return <p class="wait">Reading the scenario…</p>;
  const position = placed && !isRefusal(placed) ? placed.position : undefined;
  const json = stay.given && "answer" in stay.given ? (JSON.parse(stay.given.answer.json) as StayJson) : null;
  const here = json?.stop ?? road.at ?? position?.stop ?? outline.stops[0]?.name ?? "";
  const [trip, shed, topup] = aside;
  // Until the engine answers, what the plan says where nothing but the clock is asked about.
  const isAsPlanned = options !== null && Object.keys(options).length === 1 && !road.now;
  const planned = stay.given || !isAsPlanned ? undefined : opening.planned(scenario, now);
  const answers = [stay.given, ...aside].flatMap((given) => (given && "answer" in given ? [given.answer] : []));
  return (
    <>
      <Short json={json} isWorking={stay.isWorking} />
      <section aria-labelledby="stay-heading">
        <h2 id="stay-heading">How many nights?</h2>
        {planned ? (
          <>
            <Verdict answer={{ ...planned, tables: [] }} label="Why" />
            <p class="hint">{planned.from}</p>
          </>
        ) : (
          <Told given={stay.given} label="Why, and day by day" />
        )}
        {stay.given && "answer" in stay.given && <p class="hint">{stay.given.answer.from}</p>}
        <p class="hint" role="status">
          {planned ? "By the plan, where no meter was read; the answer for now is coming." : restsOn(stay)}
        </p>
        <button type="button" onClick={() => document.getElementById("inputs-heading")?.scrollIntoView()}>
          Meters, sky, nights
        </button>
      </section>
      <section aria-labelledby="rest-heading">
        <h2 id="rest-heading">The rest of the trip</h2>
        <Told given={trip} label="Why, and night by night" />
      </section>
      <section aria-labelledby="shed-heading">
        <h2 id="shed-heading">What to switch off first?</h2>
        <Told given={shed} label="What each load buys" />
      </section>
      <section aria-labelledby="drive-heading">
        <h2 id="drive-heading">How long to drive?</h2>
        <Told given={topup} label="Where the charge comes from" />
      </section>
      {json && (
        <section aria-labelledby="dawn-heading">
          <h2 id="dawn-heading">What will the meters say at dawn?</h2>
          <DawnTable json={json} outline={outline} />
        </section>
      )}
      <section aria-labelledby="inputs-heading">
        <h2 id="inputs-heading" tabIndex={-1}>
          Today and here
        </h2>
        <RoadInputs
          outline={outline}
          road={road}
          now={now}
          here={here}
          isDriving={position?.driving ?? false}
          json={json}
          change={change}
        />
      </section>
      <Warnings answers={answers} />
      <Cautions answers={answers} />
    </>
  );
}

/** The answer in a line that stays in sight while the fields below it are worked. */
function Short({ json, isWorking }: { json: StayJson | null; isWorking: boolean }) {
  let text = "Working it out…";
  if (json) {
    const chosen = json.rest?.find((row) => row.nights_more === json.from.nights);
    text = json.stay_until ? `Stay until ${day(json.stay_until)}` : "Not even the next night";
    if (chosen) text += ` · ${nights(chosen.nights_more)}, then on: ${chance(chosen.chance_both)}`;
  }
  return (
    <p class={isWorking ? "short working" : "short"} aria-hidden="true">
      {text}
    </p>
  );
}

function Told({ given, label }: { given: Given | null | undefined; label: string }) {
  if (!given) return <p class="wait">Working it out…</p>;
  if ("fault" in given) return <p class="refused">The engine stopped at this question: {given.fault}</p>;
  if ("refusal" in given) return <Refused refusal={given.refusal} />;
  return <Verdict answer={given.answer} label={label} />;
}
