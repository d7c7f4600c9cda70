// A usual device into a scenario's text, with the inverter that it needs.

import type { Device } from "./devices";
import { withItem, withValue } from "./edit_text";

interface Part {
  id?: unknown;
  bank?: unknown;
  rated_w?: unknown;
}

const INVERTER = { efficiency: 0.88, idle_w: 8 };
/** Room above what the device draws, in watts rounded up. */
const SPARE = 1.25;

function listOf(scenario: Record<string, unknown>, key: string): Part[] {
  return Array.isArray(scenario[key]) ? (scenario[key] as Part[]) : [];
}

/** A name that is not taken: the wanted one, else the wanted one with a number. */
export function freeName(wanted: string, taken: Part[]): string {
  const names = new Set(taken.map(({ id }) => id));
  let name = wanted;
  for (let number = 2; names.has(name); number += 1) name = `${wanted.replace(/-\d+$/, "")}-${number}`;
  return name;
}

function appended(text: string, scenario: Record<string, unknown>, key: string, item: unknown): string {
  const list = scenario[key];
  return Array.isArray(list) ? withItem(text, [key], list.length, item) : withValue(text, [key], [item]);
}

export function withDevice(text: string, scenario: Record<string, unknown>, device: Device, bank: string): string {
  const item: Record<string, unknown> = { id: freeName(device.id, listOf(scenario, "loads")), bank, ...device.load };
  const rated = item.rated as { average_a: number } | undefined;
  // The list's currents are those at 12 V.
  if (rated && scenario.system_voltage_v === 24) item.rated = { ...rated, average_a: rated.average_a / 2 };
  let powered = text;
  if (item.inverter === "") {
    const inverters = listOf(scenario, "inverters");
    const known = inverters.find(
      (inverter) => inverter.bank === bank && Number(inverter.rated_w) >= Number(item.power_w),
    )?.id;
    item.inverter = known ?? freeName("inverter", inverters);
    if (known === undefined) {
      const rated_w = Math.max(300, Math.ceil((Number(item.power_w) * SPARE) / 100) * 100);
      powered = appended(text, scenario, "inverters", { id: item.inverter, bank, rated_w, ...INVERTER });
    }
  }
  return appended(powered, scenario, "loads", item);
}
