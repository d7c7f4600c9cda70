// Build: the vehicle and the trip by form.
//
// One job: every key of the scenario as a field, the check's words at the field, the answer in
// sight, every step undone and done again.

import { useEffect, useId, useRef, useState } from "preact/hooks";
import { FINE, useQuick, useRefined } from "./asking";
import { Field, isMarked, List, Marked, pointer, Problems, Taken, type Assumption, type Form } from "./build_field";
import { Diagram } from "./build_diagram";
import { Devices } from "./build_devices";
import { Places } from "./build_places";
import { valueOf, withItem, withSwapped, withValue } from "./edit_text";
import type { Lanes } from "./engine";
import { Fold } from "./fields";
import { isRefusal, type Interval, type Refusal, type RunAnswer, type TripJson } from "./protocol";
import { shownAt } from "./problem_place";
import { beginning as beginningOf, labelled, resolved, type Schema } from "./schema";
import { NO_TRYING, type Sheet } from "./state";
import { Explained, Refused, Verdict } from "./told";
import { chance } from "./words";

/** Steps that can be undone, by sheet; as long as the page is open. */
const PAST = new Map<string, { before: string[]; after: string[] }>();
const MOST_STEPS = 200;

/** Parts in the order in which one fits out a vehicle and leaves. */
const ORDER = ["itinerary", "banks", "loads", "chargers", "solar", "alternator", "inverters", "runs"];

interface Props {
  lanes: Lanes;
  sheet: Sheet;
  change(part: Partial<Sheet>): void;
}

interface CheckJson {
  warnings: { path: string; text: string }[];
  assumed: ({ path: string } & Assumption)[];
}

/** What holds where the file says nothing, by the pointer of the key. */
function assumedOf(answer: RunAnswer | Refusal | null): Map<string, Assumption[]> {
  const map = new Map<string, Assumption[]>();
  if (!answer || isRefusal(answer)) return map;
  for (const { path, value, reason } of (JSON.parse(answer.json) as CheckJson).assumed) {
    map.set(path, [...(map.get(path) ?? []), { value, reason: reason.replace(/`/g, "") }]);
  }
  return map;
}

/** What the check says, by the pointer of the field that shows it. */
function problemsOf(answer: RunAnswer | Refusal | null, root: Schema, scenario: unknown): Map<string, string[]> {
  const map = new Map<string, string[]>();
  const put = (path: string, text: string) => {
    const at = pointer(shownAt(root, scenario, path));
    const beyond = path.slice(at.length + 1);
    const within = /^\d+$/.test(beyond) ? `value ${Number(beyond) + 1}` : beyond;
    map.set(at, [...(map.get(at) ?? []), within ? `${within}: ${text}` : text]);
  };
  if (!answer) return map;
  if (isRefusal(answer)) {
    for (const { path, text, hint } of answer.problems ?? []) put(path ?? "", hint ? `${text}. ${hint}` : text);
  } else {
    for (const { path, text } of (JSON.parse(answer.json) as CheckJson).warnings) put(path, text);
  }
  return map;
}

export function BuildScreen({ lanes, sheet, change }: Props) {
  const scenario = { name: sheet.name, text: sheet.text, files: sheet.files };
  const keys = useQuick<{ status: number; schema: Schema }>(lanes, { ask: "schema" });
  const checked = useQuick<RunAnswer>(lanes, { ask: "run", command: "check", scenario, options: {} });
  const isSound = checked !== null && !isRefusal(checked);
  const trip = useRefined(lanes, isSound ? { ask: "run", command: "trip", scenario, options: {} } : null, FINE);
  const [, redraw] = useState(0);
  const past = PAST.get(sheet.id) ?? { before: [], after: [] };
  PAST.set(sheet.id, past);
  const write = (text: string) => {
    if (text === sheet.text) return;
    past.before = [...past.before, sheet.text].slice(-MOST_STEPS);
    past.after = [];
    change({ text, trying: NO_TRYING });
  };
  const go = (from: string[], to: string[]) => {
    const text = from.pop();
    if (text === undefined) return;
    to.push(sheet.text);
    change({ text });
    redraw((times) => times + 1);
  };
  const value = valueOf(sheet.text) as Record<string, unknown> | null;
  const answer = isSound && trip.given && "answer" in trip.given ? trip.given.answer : null;
  const json = answer ? (JSON.parse(answer.json) as TripJson) : null;
  // What was said of the text before this one, from as many trips as it came to.
  const told = useRef<{ text: string; chance: Interval }[]>([]);
  if (json && told.current[0]?.text === sheet.text) told.current[0].chance = json.chance_no_shortfall;
  else if (json && !trip.isStale) told.current = [{ text: sheet.text, chance: json.chance_no_shortfall }, ...told.current].slice(0, 2);
  const before = told.current.find(({ text }) => text !== sheet.text)?.chance;
  if (!keys) return <p class="wait">Reading the keys…</p>;
  if (isRefusal(keys)) return <Refused refusal={keys} />;
  const { schema } = keys;
  const steps = (
    <div class="actions">
      <button type="button" disabled={past.before.length === 0} onClick={() => go(past.before, past.after)}>
        Undo
      </button>
      <button type="button" disabled={past.after.length === 0} onClick={() => go(past.after, past.before)}>
        Redo
      </button>
    </div>
  );
  if (value === null || typeof value !== "object" || Array.isArray(value)) {
    return (
      <>
        {checked && isRefusal(checked) && <Refused refusal={checked} />}
        {steps}
        <AsText sheet={sheet} write={write} />
      </>
    );
  }
  const form: Form = {
    root: schema,
    scenario: value,
    problems: problemsOf(checked, schema, value),
    assumed: assumedOf(checked),
    set: (path, next) => write(withValue(sheet.text, path, next)),
    insert: (path, index, next) => write(withItem(sheet.text, path, index, next)),
    swap: (path, first) => write(withSwapped(sheet.text, path, first)),
    edit: (step) => write(step(sheet.text)),
  };
  const properties = schema.properties ?? {};
  const parts = [
    ...ORDER.filter((key) => key in properties),
    ...Object.keys(properties).filter((key) => !ORDER.includes(key) && key !== "$schema"),
  ];
  const lists = parts.filter((key) => ORDER.includes(key));
  const others = parts.filter((key) => !ORDER.includes(key));
  return (
    <>
      <p class="short" aria-hidden="true">
        {!isSound && checked ? "Not sound yet: see the marked fields" : json ? `No shortfall: ${chance(json.chance_no_shortfall)}` : "Working it out…"}
      </p>
      <section aria-labelledby="build-heading">
        <h2 id="build-heading">What the file says so far</h2>
        {answer && <Verdict answer={answer} label="Why, and night by night" />}
        {json && before && <p>Before the last change: no shortfall {chance(before)}.</p>}
        {checked && isRefusal(checked) && <Refused refusal={checked} />}
        <Problems form={form} path={[]} />
        <Explained />
        {steps}
      </section>
      <section aria-labelledby="parts-heading">
        <h2 id="parts-heading">Trip and vehicle</h2>
        {lists.map((key) => (
          <Fold
            key={key}
            summary={
              <>
                {labelled(key).label} <span class="muted">{namesIn(value, key)}</span>
                <Marked form={form} path={[key]} />
              </>
            }
          >
            <p class="hint">{resolved(properties[key] ?? {}, schema).description}</p>
            {key === "itinerary" && <Places lanes={lanes} form={form} scenario={scenario} />}
            {key === "loads" && <Devices form={form} />}
            {resolved(properties[key] ?? {}, schema).type === "array" ? (
              <>
                <Problems form={form} path={[key]} />
                <List form={form} schema={resolved(properties[key] ?? {}, schema)} path={[key]} value={value[key]} />
              </>
            ) : key in value ? (
              <Field form={form} schema={{ ...properties[key], description: undefined }} path={[key]} value={value[key]} canGo={key !== "itinerary"} />
            ) : (
              <AddPart form={form} name={key} />
            )}
          </Fold>
        ))}
        <Fold
          summary={
            <>
              Title, climate, aim
              {others.some((key) => isMarked(form, [key])) && <span class="warn">: see inside</span>}
            </>
          }
        >
          {others.map((key) =>
            key in value ? (
              <Field
                key={key}
                form={form}
                schema={properties[key] ?? {}}
                path={[key]}
                value={value[key]}
                canGo={!schema.required?.includes(key)}
              />
            ) : (
              <AddPart key={key} form={form} name={key} />
            ),
          )}
        </Fold>
      </section>
      {isSound && <Diagram lanes={lanes} sheet={sheet} />}
      <AsText sheet={sheet} write={write} />
    </>
  );
}

/** The names of a part's items, as many as say enough. */
function namesIn(scenario: Record<string, unknown>, key: string): string {
  const list = key === "itinerary" ? (scenario.itinerary as { legs?: unknown } | null)?.legs : scenario[key];
  if (!Array.isArray(list)) return "";
  const names = list.map((item) => String((item as { id?: unknown })?.id ?? (item as { to?: unknown })?.to ?? "?"));
  return names.length > 5 ? `${names.slice(0, 4).join(", ")} and ${names.length - 4} more` : names.join(", ");
}

function AddPart({ form, name }: { form: Form; name: string }) {
  const schema = form.root.properties?.[name] ?? {};
  return (
    <>
      <Problems form={form} path={[name]} />
      <Taken form={form} path={[name]} />
      <button type="button" class="quiet" onClick={() => form.set([name], beginningOf(schema, form.root))}>
        Say: {labelled(name).label.toLowerCase()}
      </button>
    </>
  );
}

/** The file itself, for who prefers it, or where it is not sound enough for a form. */
function AsText({ sheet, write }: { sheet: Sheet; write(text: string): void }) {
  const id = useId();
  // An answer that comes meanwhile draws the screen again: what is typed stays.
  const [typed, setTyped] = useState(sheet.text);
  useEffect(() => setTyped(sheet.text), [sheet.text]);
  return (
    <details>
      <summary>The file as text</summary>
      <label for={id}>Taken when you leave the field</label>
      <textarea id={id} spellcheck={false} rows={18} value={typed} onInput={(event) => setTyped(event.currentTarget.value)} onChange={() => write(typed)} />
    </details>
  );
}
