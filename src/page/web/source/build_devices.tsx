// A usual device put among the loads, with its typical figures to be corrected.

import { useId, useState } from "preact/hooks";
import type { Form } from "./build_field";
import { withDevice } from "./add_device";
import { Pick } from "./fields";
import { DEVICES } from "./devices";

export function Devices({ form }: { form: Form }) {
  const id = useId();
  const [chosen, setChosen] = useState("");
  const device = DEVICES.find((candidate) => candidate.id === chosen);
  const groups = [...new Set(DEVICES.map(({ group }) => group))];
  const banks = Array.isArray(form.scenario.banks) ? (form.scenario.banks as { id?: unknown; role?: unknown }[]) : [];
  const houseBanks = banks.filter(({ role }) => role !== "start").map((bank) => String(bank.id ?? ""));
  const [onto, setOnto] = useState("");
  const bank = houseBanks.includes(onto) ? onto : (houseBanks[0] ?? "");
  const add = () => {
    if (!device) return;
    form.edit((text) => withDevice(text, form.scenario, device, bank));
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
          {houseBanks.length > 1 && (
            <Pick label="On which bank" value={bank} choices={houseBanks.map((name) => [name, name] as const)} change={setOnto} />
          )}
          <button type="button" onClick={add}>
            Add it to {bank}
          </button>
        </>
      )}
    </div>
  );
}
