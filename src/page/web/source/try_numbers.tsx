// The numbers that are tried, and loads on and off.
//
// One job: every number of the file that matters as a field with a slider, those of a group in a fold.

import { Fold, Stepper } from "./fields";
import type { FileNumber, Part } from "./protocol";
import type { Trying } from "./state";
import { inPercent, quantity } from "./words";

const GROUPS: [string, string][] = [
  ["banks", "Batteries"],
  ["solar", "Panels"],
  ["chargers", "Chargers"],
  ["itinerary", "Driving and nights"],
  ["loads", "What the loads take"],
  ["alternator", "Alternator"],
  ["", "Everything else"],
];

function groupOf(key: string): string {
  const head = key.split(".")[0] ?? "";
  return GROUPS.some(([group]) => group === head) ? head : "";
}

interface Props {
  numbers: FileNumber[];
  loads: Part[];
  trying: Trying;
  setTrying(part: Partial<Trying>): void;
}

export function Numbers({ numbers, loads, trying, setTrying }: Props) {
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
  return (
    <section aria-labelledby="turn-heading">
      <h2 id="turn-heading">Change a number</h2>
      {GROUPS.map(([group, title]) => {
        const members = numbers.filter((number) => groupOf(number.key) === group);
        if (members.length === 0) return null;
        return (
          <Fold key={group} summary={title} open={group === "banks"}>
            {members.map((number) => (
              <NumberField
                key={number.key}
                number={number}
                now={trying.set[number.key]}
                put={(value) => put(number, value)}
              />
            ))}
          </Fold>
        );
      })}
      <Fold summary="Loads on and off">
        {loads.map((load) => {
          const key = `loads.${load.id}`;
          const switched = trying.set[`${key}.off`];
          const isOff = trying.off.includes(key) || (typeof switched === "boolean" ? switched : load.off === true);
          return (
            <label key={key} class="tick">
              <input type="checkbox" checked={!isOff} onChange={() => turn(load, !isOff)} />
              <span>
                {load.name ?? load.id}
                {load.bank && <span class="muted"> on {load.bank}</span>}
              </span>
            </label>
          );
        })}
      </Fold>
    </section>
  );
}

interface NumberFieldProps {
  number: FileNumber;
  /** What is tried in its place. */
  now: unknown;
  put(value: number | null): void;
}

function NumberField({ number, now, put }: NumberFieldProps) {
  const isShare = number.unit === "share";
  const shown = (value: number) => (isShare ? inPercent(value) : value);
  const assumed = number.given ? undefined : "Assumed: the file does not say.";
  return (
    <Stepper
      label={number.label}
      unit={isShare ? "%" : number.unit}
      value={shown(typeof now === "number" ? now : number.value)}
      min={shown(number.min)}
      max={shown(number.max)}
      step={shown(number.step)}
      slider
      hint={now === undefined ? assumed : `In the file: ${quantity(number.value, number.unit)}.`}
      change={(value) => put(value === null || !isShare ? value : Number((value / 100).toPrecision(12)))}
    />
  );
}
