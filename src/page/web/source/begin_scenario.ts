// A scenario from three answers: what vehicle, what depends on it, where to.
//
// One job: a vehicle's parts from a shipped template, devices from the list, stops as legs, into the text of a file.
// Cables and fuses are left out: they are the owner's own.

import { withDevice } from "./add_device";
import { DEVICES, type Device } from "./devices";

/** Templates by the vehicle that they are, and what it is called. */
export const VEHICLES: readonly (readonly [string, string])[] = [
  ["van-lead-acid", "Camper van"],
  ["two-banks", "Four-wheel drive with canopy"],
  ["trailer", "Car and trailer"],
  ["three-banks", "Four-wheel drive, canopy and trailer"],
  ["truck-24v", "Truck, 24 V"],
  ["weekend", "Any car, one lithium battery, no panel"],
];

type Item = Record<string, unknown>;

export interface Vehicle {
  banks: Item[];
  loads: Item[];
  alternator?: Item;
  chargers?: Item[];
  solar?: Item[];
  [key: string]: unknown;
}

/** What one gives who does not know yet. */
export const USUAL = ["fridge-40", "lights-inside", "phone"];

/** The devices that most have; the others are a tap further. */
export const COMMON = [
  "fridge-40", "fridge-80", "freezer-40", "lights-inside", "lights-awning", "phone", "laptop-dc", "satellite-small",
  "cell-router", "diesel-heater", "roof-fan", "tap-pump", "compressor-large", "kettle-ac",
];

export function vehicleOf(template: string): Vehicle {
  return JSON.parse(template) as Vehicle;
}

export function houseBanks(vehicle: Vehicle): string[] {
  return vehicle.banks.filter(({ role }) => role !== "start").map(({ id }) => String(id));
}

/** The bank that something like it depends on in the template, else the first. */
export function bankFor(vehicle: Vehicle, device: Device): string {
  const alike = vehicle.loads.find(({ kind }) => kind === device.load.kind);
  return String(alike?.bank ?? houseBanks(vehicle)[0] ?? "");
}

/** A vehicle in a line: banks, alternator, chargers, panels. */
export function inWords({ banks, alternator, chargers, solar, system_voltage_v }: Vehicle): string {
  const words: Record<string, string> = { lfp: "lithium", agm: "AGM", gel: "gel", flooded: "flooded lead-acid" };
  const parts = banks
    .filter(({ role }) => role !== "start")
    .map(({ id, capacity_ah, chemistry }) => `${id} ${capacity_ah}\u00a0Ah ${words[String(chemistry)] ?? chemistry}`);
  if (alternator) parts.push(`alternator ${alternator.rated_a}\u00a0A`);
  const amps = (chargers ?? []).map(({ output_a }) => `${output_a}\u00a0A`);
  if (amps.length > 0) parts.push(`${amps.length === 1 ? "charger" : "chargers"} ${amps.join(", ")}`);
  const watts = (solar ?? []).map(({ panel_w }) => `${panel_w}\u00a0W`);
  if (watts.length > 0) parts.push(`${watts.length === 1 ? "panel" : "panels"} ${watts.join(", ")}`);
  if (system_voltage_v) parts.push(`at ${system_voltage_v}\u00a0V`);
  return parts.join("; ");
}

/** Without the notes, cables and prices of the template's owner. */
function bare(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(bare);
  if (typeof value !== "object" || value === null) return value;
  const kept = Object.entries(value).filter(([key]) => !["note", "run", "price"].includes(key));
  return Object.fromEntries(kept.map(([key, inner]) => [key, bare(inner)]));
}

export interface Answers {
  title: string;
  template: string;
  /** Devices, and the bank that each depends on. */
  devices: readonly (readonly [string, string])[];
  /** Local date of leaving, `YYYY-MM-DD`. */
  date: string;
  from: Item;
  /** Set where the first place does not say it. */
  time_zone?: string;
  legs: Item[];
}

export function begun({ title, template, devices, date, from, time_zone, legs }: Answers): string {
  const vehicle = vehicleOf(template);
  const { lived_in, heated } = vehicle.itinerary as Item;
  const itinerary = {
    note: "roads are taken as 1.3 times the straight line: put distances and speeds right",
    start: `${date}T08:00`, time_zone, from, lived_in, heated,
    legs: legs.map((leg) => ({ depart: "09:00", ...leg })),
  };
  const { system_voltage_v, climate, banks, alternator, chargers, solar } = bare(vehicle) as Vehicle;
  const scenario: Item = { format: 1, title, system_voltage_v, itinerary, climate, banks, alternator, chargers, solar, loads: [] };
  let text = `${JSON.stringify(scenario, null, 2)}\n`;
  for (const [id, bank] of devices) {
    const device = DEVICES.find((candidate) => candidate.id === id);
    if (device) text = withDevice(text, JSON.parse(text) as Item, device, bank);
  }
  return text;
}
