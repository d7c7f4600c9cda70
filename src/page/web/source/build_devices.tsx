// A usual device put among the loads, with its typical figures to be corrected.

import { useId, useState } from "preact/hooks";
import type { Form } from "./build_field";
import { DEVICES } from "./devices";

export function Devices({ form }: { form: Form }) {
  const id = useId();
  const [chosen, setChosen] = useState("");
  const device = DEVICES.find((candidate) => candidate.id === chosen);
  const groups = [...new Set(DEVICES.map(({ group }) => group))];
  const loads = Array.isArray(form.scenario.loads) ? (form.scenario.loads as { id?: unknown }[]) : [];
  const banks = Array.isArray(form.scenario.banks) ? (form.scenario.banks as { id?: unknown; role?: unknown }[]) : [];
  const bank = banks.find(({ role }) => role !== "start") ?? banks[0];
  const add = () => {
    if (!device) return;
    const taken = new Set(loads.map((load) => load.id));
    let name = device.id;
    for (let number = 2; taken.has(name); number += 1) name = `${device.id}-${number}`;
    const item = { id: name, bank: String(bank?.id ?? ""), ...device.load };
    if (Array.isArray(form.scenario.loads)) form.insert(["loads"], loads.length, item);
    else form.set(["loads"], [item]);
    setChosen("");
  };
  return (
    <div class="field">
      <label for={id}>Add a usual device</label>
      <select id={id} value={chosen} onChange={(event) => setChosen(event.currentTarget.value)}>
        <option value="">choose one of {DEVICES.length}</option>
        {groups.map((group) => (
          <optgroup key={group} label={group}>
            {DEVICES.filter((candidate) => candidate.group === group).map(({ id: key, name, typical }) => (
              <option key={key} value={key}>
                {name}: {typical}
              </option>
            ))}
          </optgroup>
        ))}
      </select>
      {device && (
        <>
          <p class="hint">
            {device.name}: {device.typical}. Common practice, no source: put the figure of its data sheet in its place.
          </p>
          {device.caution && <p class="cautions">{device.caution}</p>}
          <button type="button" onClick={add}>
            Add it to {String(bank?.id ?? "the first bank")}
          </button>
        </>
      )}
    </div>
  );
}
