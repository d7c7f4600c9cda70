// One field of the form, whatever the schema says it is.

import { useEffect, useId, useState } from "preact/hooks";
import { freeName } from "./add_device";
import type { Path } from "./edit_text";
import { Fold } from "./fields";
import { beginning, formOf, isShare, kindOf, labelled, resolved, wordsOf, type Schema } from "./schema";
import { inPercent } from "./words";

export interface Assumption {
  value: string;
  reason: string;
}

/** What every field of the form needs beside its own value. */
export interface Form {
  root: Schema;
  scenario: Record<string, unknown>;
  problems: Map<string, string[]>;
  assumed: Map<string, Assumption[]>;
  set(path: Path, value: unknown): void;
  insert(path: Path, index: number, value: unknown): void;
  swap(path: Path, first: number): void;
  /** Several changes as one step. */
  edit(change: (text: string) => string): void;
}

interface FieldProps {
  form: Form;
  schema: Schema;
  path: Path;
  value: unknown;
  label?: string;
  canGo?: boolean;
}

export function pointer(path: Path): string {
  return path.map((part) => `/${String(part).replace(/~/g, "~0").replace(/\//g, "~1")}`).join("");
}

export function Problems({ form, path, id }: { form: Form; path: Path; id?: string }) {
  const list = form.problems.get(pointer(path)) ?? [];
  if (list.length === 0) return null;
  return (
    <div id={id}>
      {list.map((text) => (
        <p key={text} class="hint warn">
          {text}
        </p>
      ))}
    </div>
  );
}

/** What follows from a value that is given, or holds for a part that is not. */
export function Taken({ form, path }: { form: Form; path: Path }) {
  const list = form.assumed.get(pointer(path)) ?? [];
  return (
    <>
      {list.map(({ value, reason }) => (
        <p key={reason} class="hint">
          Assumed: {reason.includes(value) ? reason : `${value}, ${reason}`}.
        </p>
      ))}
    </>
  );
}

export function isMarked(form: Form, path: Path): boolean {
  return [...form.problems.keys()].some((key) => `${key}/`.startsWith(`${pointer(path)}/`));
}

/** Says at a folded part that the check has something to say inside. */
export function Marked({ form, path }: { form: Form; path: Path }) {
  return isMarked(form, path) ? <span class="warn">: see inside</span> : null;
}

function idsOf(form: Form, list: string): string[] {
  const items = form.scenario[list];
  return Array.isArray(items) ? items.map((item) => String((item as { id?: unknown })?.id ?? "")).filter(Boolean) : [];
}

/** Keys that name another part of the scenario, and the lists where that part stands. */
function referredTo(form: Form, path: Path): string[] | null {
  const [list, , key] = path;
  if (path.length !== 3) return null;
  if (key === "bank") return idsOf(form, "banks");
  if (key === "inverter") return idsOf(form, "inverters");
  if (list === "chargers" && key === "from") return ["alternator", "mains", ...idsOf(form, "banks")];
  if ((list === "chargers" || list === "solar") && key === "to") return idsOf(form, "banks");
  if (list === "solar" && key === "shares") return idsOf(form, "chargers");
  return null;
}

export function Field({ form, schema, path, value, label, canGo }: FieldProps) {
  const whole = resolved(schema, form.root);
  const id = useId();
  const named = labelled(String(path[path.length - 1]));
  const shown = label ?? named.label;
  const kind = kindOf(whole, form.root);
  const hasProblem = form.problems.has(pointer(path));
  const takeAway = canGo && (
    <button type="button" class="quiet" aria-label={`Leave out ${shown}`} onClick={() => form.set(path, undefined)}>
      Leave out
    </button>
  );
  const described = [whole.description ? `${id}-about` : "", hasProblem ? `${id}-problem` : ""].filter(Boolean).join(" ");
  const about = whole.description && (
    <p id={`${id}-about`} class="hint">
      {whole.description.replace(/`/g, "")}
    </p>
  );
  if (kind === "group" || kind === "list" || kind === "one-of") {
    return (
      <fieldset class="group">
        <legend>{shown}</legend>
        {about}
        {kind !== "one-of" && <Problems form={form} path={path} />}
        {kind === "group" && <Group form={form} schema={whole} path={path} value={value} />}
        {kind === "list" && <List form={form} schema={whole} path={path} value={value} />}
        {kind === "one-of" && <OneOf form={form} schema={whole} path={path} value={value} />}
        {takeAway}
      </fieldset>
    );
  }
  const references = referredTo(form, path);
  const common = { id, "aria-describedby": described || undefined, "aria-invalid": hasProblem };
  return (
    <div class="field">
      <label for={id}>
        {shown}
        {named.unit && kind === "number" && <span class="muted">, {named.unit}</span>}
        {kind === "number" && isShare(whole) && <span class="muted">, %</span>}
      </label>
      {kind === "words" || references ? (
        <select
          {...common}
          value={String(value ?? "")}
          onChange={(event) => {
            const chosen = event.currentTarget.value;
            const word = wordsOf(whole)?.find(([candidate]) => String(candidate) === chosen)?.[0];
            form.set(path, word ?? chosen);
          }}
        >
          {choicesOf(whole, references, value).map(([key, text]) => (
            <option key={String(key)} value={String(key)}>
              {text}
            </option>
          ))}
        </select>
      ) : kind === "yes-no" ? (
        <select {...common} value={String(value ?? "")} onChange={(event) => form.set(path, event.currentTarget.value === "true")}>
          {typeof value !== "boolean" && <option value={String(value ?? "")}>not said</option>}
          <option value="true">yes</option>
          <option value="false">no</option>
        </select>
      ) : (
        <Typed common={common} kind={kind} schema={whole} name={String(path[path.length - 1])} value={value} take={(taken) => form.set(path, taken)} />
      )}
      {about}
      <Taken form={form} path={path} />
      <Problems form={form} path={path} id={`${id}-problem`} />
      {takeAway}
    </div>
  );
}

function choicesOf(schema: Schema, references: string[] | null, value: unknown): [string | number, string][] {
  const list = wordsOf(schema) ?? (references ?? []).map((id): [string, string] => [id, id]);
  // What the file says stays to be seen, right or wrong.
  if (list.some(([key]) => key === value)) return list;
  return [value === undefined ? ["", "not said"] : [String(value), `${String(value)} (not known)`], ...list];
}

interface TypedProps {
  common: Record<string, unknown>;
  kind: string;
  schema: Schema;
  name: string;
  value: unknown;
  take(value: unknown): void;
}

/** Text as it is typed; taken when it is whole. */
function Typed({ common, kind, schema, name, value, take }: TypedProps) {
  const share = kind === "number" && isShare(schema);
  const written = (() => {
    if (typeof value === "number") return String(share ? inPercent(value) : value);
    if (Array.isArray(value)) return value.join(", ");
    if (value === undefined) return "";
    return typeof value === "string" ? value : JSON.stringify(value);
  })();
  const [text, setText] = useState(written);
  useEffect(() => setText(written), [written]);
  const commit = () => {
    if (text === written) return;
    const number = Number(text.replace(",", "."));
    if (kind === "number") {
      // What is no number goes into the file as text, so that the check can say so.
      if (text.trim() === "" || !Number.isFinite(number)) take(text);
      else take(share ? Number((number / 100).toPrecision(12)) : number);
    } else if (kind === "values") {
      const isNumbers = schema.items?.type === "number" || schema.items?.$ref !== undefined;
      take(
        text
          .split(",")
          .map((part) => part.trim())
          .filter(Boolean)
          .map((part) => (isNumbers && Number.isFinite(Number(part)) ? Number(part) : part)),
      );
    } else {
      take(text);
    }
  };
  // A browser's own fields for times cannot show what is none.
  const isTime = /^(depart|local_depart)$/.test(name) && /^([01]\d|2[0-3]):[0-5]\d$/.test(written);
  const isMoment = name === "start" && /^\d{4}-\d\d-\d\dT\d\d:\d\d$/.test(written);
  const type = isMoment ? "datetime-local" : isTime ? "time" : "text";
  return (
    <input
      {...common}
      key={type}
      type={type as "text"}
      inputMode={kind === "number" ? "decimal" : undefined}
      autocomplete="off"
      value={text}
      onInput={(event) => setText(event.currentTarget.value)}
      onChange={commit}
      onBlur={commit}
    />
  );
}

function OneOf({ form, schema, path, value }: FieldProps) {
  const id = useId();
  const forms = schema.anyOf ?? [];
  const index = formOf(value, forms, form.root);
  const chosen = forms[index] ?? {};
  const whole = resolved(chosen, form.root);
  return (
    <>
      <div class="field">
        <label for={id}>Said as</label>
        <select
          id={id}
          value={index}
          onChange={(event) => {
            const next = forms[Number(event.currentTarget.value)] ?? {};
            form.set(path, carried(value, next, form.root));
          }}
        >
          {forms.map((option, at) => (
            <option key={at} value={at}>
              {(resolved(option, form.root).description ?? `form ${at + 1}`).replace(/`|\.$/g, "")}
            </option>
          ))}
        </select>
      </div>
      {kindOf(whole, form.root) === "group" ? (
        <>
          <Problems form={form} path={path} />
          <Group form={form} schema={whole} path={path} value={value} />
        </>
      ) : (
        <Field form={form} schema={{ ...chosen, description: undefined }} path={path} value={value} />
      )}
    </>
  );
}

/** A value said in another form, as far as it can be carried over. */
function carried(value: unknown, next: Schema, root: Schema): unknown {
  const whole = resolved(next, root);
  const likely = (value as { likely?: unknown } | null)?.likely;
  if (typeof likely === "number" && whole.type === "number") return likely;
  if (typeof value === "number" && whole.properties?.likely) return { min: value, likely: value, max: value };
  return beginning(next, root);
}

export function Group({ form, schema, path, value }: Omit<FieldProps, "label">) {
  const id = useId();
  const given = (value ?? {}) as Record<string, unknown>;
  const properties = schema.properties ?? {};
  const isRequired = (key: string) => schema.required?.includes(key) ?? false;
  const isSpokenOf = (key: string) => form.problems.has(pointer([...path, key]));
  const keys = Object.keys(properties).filter((key) => key in given || isRequired(key) || isSpokenOf(key));
  const left = Object.keys(properties).filter((key) => !keys.includes(key) && key !== "$schema");
  return (
    <>
      {keys.map((key) => (
        <Field
          key={key}
          form={form}
          schema={properties[key] ?? {}}
          path={[...path, key]}
          value={given[key]}
          canGo={key in given && !isRequired(key)}
        />
      ))}
      <Assumed form={form} keys={left} schema={schema} path={path} />
      {left.length > 0 && (
        <div class="field">
          <label for={id}>Say more</label>
          <select
            id={id}
            value=""
            onChange={(event) => {
              const key = event.currentTarget.value;
              if (key) form.set([...path, key], beginning(properties[key] ?? {}, form.root, key));
            }}
          >
            <option value="">nothing more</option>
            {left.map((key) => (
              <option key={key} value={key}>
                {`${labelled(key).label}: ${(resolved(properties[key] ?? {}, form.root).description ?? "").replace(/`|\.$/g, "")}`}
              </option>
            ))}
          </select>
        </div>
      )}
    </>
  );
}

/** What is assumed of keys that the file leaves out, each to be said instead. */
function Assumed({ form, keys, schema, path }: { form: Form; keys: string[]; schema: Schema; path: Path }) {
  const rows = keys.flatMap((key) => (form.assumed.get(pointer([...path, key])) ?? []).map((assumed) => ({ key, ...assumed })));
  if (rows.length === 0) return null;
  return (
    <Fold summary="What is assumed where nothing is said">
      {rows.map(({ key, value, reason }) => {
        const inner = resolved(schema.properties?.[key] ?? {}, form.root);
        const { label, unit } = labelled(key);
        const number = Number(value);
        const isNumber = kindOf(inner, form.root) === "number" && Number.isFinite(number);
        const shown = isNumber && isShare(inner) ? `${inPercent(number)} %` : isNumber && unit ? `${value} ${unit}` : value;
        return (
          <p key={key} class="hint">
            {label}: <strong>{shown}</strong>, {reason}.{" "}
            <button
              type="button"
              class="quiet"
              aria-label={`Say it: ${label}`}
              onClick={() => form.set([...path, key], isNumber ? number : beginning(inner, form.root, key))}
            >
              Say it
            </button>
          </p>
        );
      })}
    </Fold>
  );
}

function nameOf(item: unknown, index: number): string {
  const { id, to, name, title } = (item ?? {}) as Record<string, unknown>;
  return String(id ?? to ?? name ?? title ?? index + 1);
}

export function List({ form, schema, path, value }: Omit<FieldProps, "label">) {
  const items = Array.isArray(value) ? value : [];
  const itemSchema = resolved(schema.items ?? {}, form.root);
  const add = () => {
    const item = beginning(itemSchema, form.root) as Record<string, unknown>;
    if ("id" in item) item.id = freeName(String(path[path.length - 1]).replace(/s$/, ""), items);
    const banks = idsOf(form, "banks");
    for (const key of ["bank", "to"]) if (item[key] === "" && "id" in item) item[key] = banks[0] ?? "";
    if (path[path.length - 1] === "legs") item.to = "Next stop";
    // Which size it has depends on its kind: that of the first kind.
    const size = { loads: "power_w", chargers: "output_a" }[String(path[path.length - 1])];
    if (size) item[size] = beginning({ type: "number" }, form.root, size);
    form.insert(path, items.length, item);
  };
  return (
    <>
      {items.map((item, index) => {
        const name = nameOf(item, index);
        const at = [...path, index];
        return (
          <Fold
            key={index}
            summary={
              <>
                {name}
                <Marked form={form} path={at} />
              </>
            }
          >
            <Problems form={form} path={at} />
            <Group form={form} schema={itemSchema} path={at} value={item} />
            <div class="actions">
              {index > 0 && (
                <button type="button" aria-label={`${name} up`} onClick={() => form.swap(path, index - 1)}>
                  Up
                </button>
              )}
              {index < items.length - 1 && (
                <button type="button" aria-label={`${name} down`} onClick={() => form.swap(path, index)}>
                  Down
                </button>
              )}
              <button
                type="button"
                aria-label={`Copy ${name}`}
                onClick={() => {
                  const copy = structuredClone(item) as Record<string, unknown>;
                  if (typeof copy.id === "string") copy.id = freeName(copy.id, items);
                  form.insert(path, index + 1, copy);
                }}
              >
                Copy
              </button>
              <button type="button" aria-label={`Remove ${name}`} onClick={() => form.set(at, undefined)}>
                Remove
              </button>
            </div>
          </Fold>
        );
      })}
      <button type="button" onClick={add}>
        Add one
      </button>
    </>
  );
}
