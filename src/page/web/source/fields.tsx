// What is pressed and typed into.
//
// One job: large, named controls that a thumb and a keyboard work alike.

import type { ComponentChildren } from "preact";
import { useEffect, useId, useState } from "preact/hooks";
import { quantity } from "./words";

interface StepperProps {
  label: string;
  unit?: string;
  value: number | null;
  min: number;
  max: number;
  step: number;
  /** What stands for an empty field; without it the field cannot be empty. */
  empty?: string;
  /** Where to begin from when an empty field is stepped. */
  from?: number;
  slider?: boolean;
  hint?: string;
  change(value: number | null): void;
}

function rounded(value: number, step: number): number {
  const decimals = Math.max(0, -Math.floor(Math.log10(step) + 1e-9) + (step < 1 ? 1 : 0));
  return Number(value.toFixed(Math.min(decimals, 6)));
}

export function Stepper(props: StepperProps) {
  const { label, unit = "", value, min, max, step, empty, slider, hint, change } = props;
  const id = useId();
  const [typed, setTyped] = useState<string | null>(null);
  useEffect(() => setTyped(null), [value]);
  const begin = value ?? props.from ?? min;
  const move = (by: number) =>
    change(rounded(Math.min(max, Math.max(min, value === null ? begin : begin + by * step)), step));
  const take = (text: string) => {
    setTyped(text);
    if (text.trim() === "") {
      if (empty !== undefined) change(null);
      return;
    }
    const number = Number(text.replace(",", "."));
    if (Number.isFinite(number) && number >= min && number <= max) change(number);
  };
  const isWrong = typed !== null && typed.trim() !== "" && value !== Number(typed.replace(",", "."));
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <div class="stepper">
        <button type="button" aria-label={`less: ${label}`} disabled={value !== null && value <= min} onClick={() => move(-1)}>
          −
        </button>
        <span class="number">
          <input
            id={id}
            type="text"
            inputMode="decimal"
            autocomplete="off"
            value={typed ?? (value === null ? "" : String(value))}
            placeholder={empty}
            aria-invalid={isWrong}
            aria-describedby={hint || isWrong ? `${id}-hint` : undefined}
            onInput={(event) => take(event.currentTarget.value)}
            onBlur={() => setTyped(null)}
            onKeyDown={(event) => {
              if (event.key === "ArrowUp" || event.key === "ArrowDown") {
                event.preventDefault();
                move(event.key === "ArrowUp" ? 1 : -1);
              }
            }}
          />
          {unit && <span class="unit">{unit}</span>}
        </span>
        <button type="button" aria-label={`more: ${label}`} disabled={value !== null && value >= max} onClick={() => move(1)}>
          +
        </button>
      </div>
      {slider && (
        <input
          type="range"
          aria-label={`${label}, slider`}
          aria-valuetext={quantity(begin, unit)}
          min={min}
          max={max}
          step={step}
          value={begin}
          onInput={(event) => change(Number(event.currentTarget.value))}
        />
      )}
      {(hint || isWrong) && (
        <p id={`${id}-hint`} class={isWrong ? "hint warn" : "hint"}>
          {isWrong ? `From ${quantity(min, unit)} to ${quantity(max, unit)}.` : hint}
        </p>
      )}
    </div>
  );
}

interface ChoiceProps<T extends string> {
  legend: string;
  choices: readonly (readonly [T, string])[];
  value: T;
  change(value: T): void;
}

/** A few words side by side, one of them taken. */
export function Choice<T extends string>({ legend, choices, value, change }: ChoiceProps<T>) {
  const name = useId();
  return (
    <fieldset class="choice">
      <legend>{legend}</legend>
      <div>
        {choices.map(([key, text]) => (
          <label key={key}>
            <input type="radio" name={name} value={key} checked={value === key} onChange={() => change(key)} />
            <span>{text}</span>
          </label>
        ))}
      </div>
    </fieldset>
  );
}

interface PickProps {
  label: string;
  value: string;
  choices: readonly (readonly [string, string])[];
  change(value: string): void;
}

export function Pick({ label, value, choices, change }: PickProps) {
  const id = useId();
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <select id={id} value={value} onChange={(event) => change(event.currentTarget.value)}>
        {choices.map(([key, text]) => (
          <option key={key} value={key}>
            {text}
          </option>
        ))}
      </select>
    </div>
  );
}

interface FoldProps {
  summary: ComponentChildren;
  children: ComponentChildren;
  /** Open from the beginning. */
  open?: boolean;
}

/** What is only made when it is opened: a form has thousands of fields, an answer hundreds of cells. */
export function Fold({ summary, children, open = false }: FoldProps) {
  const [isOpen, setOpen] = useState(open);
  return (
    <details open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>{summary}</summary>
      {isOpen && children}
    </details>
  );
}

/** Gives a file to the person, under a name. */
export function download(name: string, content: string, type: string): void {
  const url = URL.createObjectURL(new Blob([content], { type }));
  const link = document.createElement("a");
  link.href = url;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}
