// The scenario's JSON Schema, as the form reads it.
//
// One job: from a key of the schema to what a person sees: a label, a unit, what kind of field it
// is, what a new value begins with. The schema is the program's own: a new key is in the form by
// itself.

export interface Schema {
  type?: string;
  description?: string;
  properties?: Record<string, Schema>;
  required?: string[];
  items?: Schema;
  minItems?: number;
  maxItems?: number;
  anyOf?: Schema[];
  oneOf?: Schema[];
  enum?: (string | number)[];
  const?: string | number;
  minimum?: number;
  maximum?: number;
  exclusiveMinimum?: number;
  minLength?: number;
  maxLength?: number;
  pattern?: string;
  $ref?: string;
  $defs?: Record<string, Schema>;
}

/** A schema with its references followed; the description nearest to the key stays. */
export function resolved(schema: Schema, root: Schema): Schema {
  if (!schema.$ref) return schema;
  const target = root.$defs?.[schema.$ref.replace("#/$defs/", "")] ?? {};
  return { ...resolved(target, root), ...(schema.description ? { description: schema.description } : {}) };
}

export type Kind = "number" | "text" | "words" | "yes-no" | "list" | "group" | "values" | "one-of" | "free";

export function kindOf(schema: Schema, root: Schema): Kind {
  const { type, items } = schema;
  if (wordsOf(schema)) return "words";
  if (schema.anyOf) return "one-of";
  if (type === "number" || type === "integer") return "number";
  if (type === "boolean") return "yes-no";
  if (type === "string") return "text";
  if (type === "object" && schema.properties) return "group";
  if (type === "array") return items && kindOf(resolved(items, root), root) === "group" ? "list" : "values";
  return "free";
}

/** Values to choose from, each with its meaning. */
export function wordsOf(schema: Schema): [string | number, string][] | null {
  if (schema.enum) return schema.enum.map((value) => [value, String(value)]);
  if (schema.oneOf?.every((choice) => choice.const !== undefined)) {
    return schema.oneOf.map((choice) => [
      choice.const ?? "",
      choice.description ? `${choice.const}: ${choice.description.replace(/\.$/, "")}` : String(choice.const),
    ]);
  }
  return null;
}

/** A number from 0 to 1 is shown in per cent. */
export function isShare(schema: Schema): boolean {
  return schema.minimum === 0 && schema.maximum !== undefined && schema.maximum <= 1;
}

const UNITS: Record<string, string> = {
  ah: "Ah", wh: "Wh", w: "W", a: "A", v: "V", c: "°C", f: "°F", m: "m", ft: "ft", km: "km", mi: "mi", kg: "kg", lb: "lb",
  mm2: "mm²", mohm: "mΩ", ma: "mA", min: "min", hours: "h", deg: "°", kmh: "km/h", mph: "mph", s: "s", l: "l", gal: "gal", w_m2: "W/m²",
};

/** Keys whose own word is short for another. */
const WORDS: Record<string, string> = {
  itinerary: "Trip", solar: "Panels", runs: "Cables and fuses", id: "Name", lat: "Latitude", lon: "Longitude", to: "To", legs: "Drives and stops",
};

/** `capacity_ah` as `Capacity` and `Ah`. */
export function labelled(key: string): { label: string; unit: string } {
  if (WORDS[key]) return { label: WORDS[key], unit: "" };
  const parts = key.split("_");
  const unit = parts.length > 1 ? UNITS[parts[parts.length - 1] ?? ""] : undefined;
  const words = (unit ? parts.slice(0, -1) : parts).join(" ").replace(/\bsoc\b/, "charge");
  return { label: words.charAt(0).toUpperCase() + words.slice(1), unit: unit ?? "" };
}

/** A middling value to correct, where the least that is allowed would be none. */
const MIDDLING: Record<string, unknown> = {
  capacity_ah: 100, output_a: 20, rated_a: 120, panel_w: 150, power_w: 20, current_a: 2, running_w: 45, set_c: 4,
  average_a: 1, at_ambient_c: 32, at_inside_c: 4, one_way_m: 3, drive_hours: 3, local_drive_hours: 1, hours_per_day: 1,
  minutes: 10, nights: 1, window: ["18:00", "22:00"], when: "always", efficiency: 0.9, depart: "08:30", local_depart: "10:00",
};

/** What a key begins with when it is added. */
export function beginning(schema: Schema, root: Schema, key = ""): unknown {
  const whole = resolved(schema, root);
  if (key in MIDDLING && kindOf(whole, root) !== "list") return MIDDLING[key];
  switch (kindOf(whole, root)) {
    case "words":
      return wordsOf(whole)?.[0]?.[0];
    case "one-of":
      return beginning(whole.anyOf?.[0] ?? {}, root);
    case "number": {
      const { minimum, exclusiveMinimum, maximum } = whole;
      if (isShare(whole)) return maximum === 1 ? 0.5 : 0;
      return Math.max(minimum ?? 0, exclusiveMinimum === undefined ? 0 : 1);
    }
    case "yes-no":
      return true;
    case "text":
      return "";
    case "list":
      return [];
    case "values":
      return Array.from({ length: whole.minItems ?? 0 }, () => beginning(whole.items ?? {}, root));
    case "group":
      return Object.fromEntries(
        (whole.required ?? []).map((name) => [name, beginning(whole.properties?.[name] ?? {}, root, name)]),
      );
    default:
      return "";
  }
}

/** Which of several forms a value has. */
export function formOf(value: unknown, forms: Schema[], root: Schema): number {
  const index = forms.findIndex((form) => {
    const whole = resolved(form, root);
    const words = wordsOf(whole);
    if (words) return words.some(([word]) => word === value);
    if (Array.isArray(value)) return whole.type === "array";
    if (typeof value === "object" && value !== null) return whole.type === "object";
    if (typeof value === "number") return whole.type === "number" || whole.type === "integer";
    return whole.type === typeof value;
  });
  return Math.max(index, 0);
}
