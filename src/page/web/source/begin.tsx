// The first screen of an empty page: three questions, and a file to refine.
//
// One job: what vehicle, what depends on it, where to; then the verdict. What is answered stays when the page is
// opened again.

import { useState } from "preact/hooks";
import { useQuick } from "./asking";
import { begun, bankFor, COMMON, houseBanks, inWords, USUAL, vehicleOf, VEHICLES, type Vehicle } from "./begin_scenario";
import { DEVICES, type Device } from "./devices";
import type { Lanes } from "./engine";
import { Fold, Stepper } from "./fields";
import { FindPlace, legTo, placed } from "./find_place";
import { isRefusal, type Template } from "./protocol";
import { newSheet, NO_DRAFT, type Draft, type Store } from "./state";
import { Explained } from "./told";
import { daysLater, clockIn } from "./words";

const MOST_NIGHTS = 60;
/** So far ahead one leaves who has not said when, days. */
const AHEAD = 14;

export function BeginScreen({ lanes, store }: { lanes: Lanes; store: Store }) {
  const given = useQuick<{ status: number; templates: Template[] }>(lanes, { ask: "templates" });
  const [isWorking, setWorking] = useState(false);
  const draft = store.state.draft ?? NO_DRAFT;
  const change = (part: Partial<Draft>) => store.change({ draft: { ...(store.state.draft ?? NO_DRAFT), ...part } });
  if (!given || isRefusal(given)) return <p class="wait">Looking up the vehicles…</p>;
  const vehicles = VEHICLES.flatMap(([name, title]) => {
    const template = given.templates.find((one) => one.name === name);
    return template ? [{ name, title, text: template.text, vehicle: vehicleOf(template.text) }] : [];
  });
  const chosen = vehicles.find(({ name }) => name === draft.vehicle);
  const ticked = draft.devices ?? Object.fromEntries(USUAL.map((id) => [id, ""]));
  const [first, ...stops] = draft.places;
  const date = draft.date || daysLater(clockIn(Intl.DateTimeFormat().resolvedOptions().timeZone), AHEAD);
  const missing = [chosen ? "" : "a vehicle", first ? "" : "where you set off", stops.length > 0 ? "" : "a stop"].filter(Boolean);
  const bankOf = (device: Device, vehicle: Vehicle) => {
    const bank = ticked[device.id] ?? "";
    return houseBanks(vehicle).includes(bank) ? bank : bankFor(vehicle, device);
  };
  const setNights = (index: number, nights: number) =>
    change({ places: draft.places.map((place, at) => (at === index ? { ...place, nights } : place)) });
  const show = async () => {
    if (!chosen || !first) return;
    setWorking(true);
    const places = draft.isRound ? [...stops, { ...first, nights: 0 }] : stops;
    const legs = await Promise.all(places.map((place, index) => legTo(lanes, draft.places[index]?.at, place, place.nights)));
    const names = stops.map(({ name }) => name.split(",")[0]);
    const text = begun({
      title: `${first.name.split(",")[0]} to ${names.join(", ")}`.slice(0, 100),
      template: chosen.text,
      devices: DEVICES.filter(({ id }) => id in ticked).map((device) => [device.id, bankOf(device, chosen.vehicle)]),
      date,
      from: placed(first, "name"),
      time_zone: first.isNamed ? undefined : first.zone,
      legs,
    });
    const { sheets } = store.state;
    const sheet = newSheet({ name: freeFileName(sheets.map(({ name }) => name)), text, files: {} }, false, sheets);
    store.change({ sheets: [...sheets, sheet], open: sheet.id, draft: NO_DRAFT });
    location.hash = "#build";
  };
  const ticks = (devices: Device[]) => (
    <div class="rows">
      {devices.map((device) => {
        const isOn = device.id in ticked;
        const banks = chosen ? houseBanks(chosen.vehicle) : [];
        return (
          <div key={device.id}>
            <label class="tick">
              <input
                type="checkbox"
                checked={isOn}
                onChange={() => {
                  const { [device.id]: _, ...others } = ticked;
                  change({ devices: isOn ? others : { ...ticked, [device.id]: "" } });
                }}
              />
              <span>
                {device.name} <span class="muted">{device.typical}</span>
              </span>
            </label>
            {isOn && device.caution && <p class="cautions">{device.caution}</p>}
            {isOn && chosen && banks.length > 1 && (
              <label class="onto">
                <span>
                  on bank <span class="unseen">for {device.name}</span>
                </span>
                <select
                  value={bankOf(device, chosen.vehicle)}
                  onChange={(event) => change({ devices: { ...ticked, [device.id]: event.currentTarget.value } })}
                >
                  {banks.map((bank) => (
                    <option key={bank} value={bank}>
                      {bank}
                    </option>
                  ))}
                </select>
              </label>
            )}
          </div>
        );
      })}
    </div>
  );
  return (
    <>
      <section aria-labelledby="vehicle-heading">
        <h2 id="vehicle-heading">1. What vehicle?</h2>
        <p class="hint">The one most like yours; every figure can be put right afterwards.</p>
        <fieldset class="rows">
          <legend class="unseen">Vehicle</legend>
          {vehicles.map(({ name, title, vehicle }) => (
            <label key={name}>
              <input type="radio" name="vehicle" checked={name === draft.vehicle} onChange={() => change({ vehicle: name })} />
              <span>
                <strong>{title}</strong>
                <br />
                <span class="muted">{inWords(vehicle)}</span>
              </span>
            </label>
          ))}
        </fieldset>
      </section>
      <section aria-labelledby="devices-heading">
        <h2 id="devices-heading">2. What depends on it?</h2>
        <p class="hint">With figures as they are met in practice, without a source: the data sheet's beat them.</p>
        {ticks(COMMON.flatMap((id) => DEVICES.filter((device) => device.id === id)))}
        <Fold summary="More devices">
          {ticks(DEVICES.filter(({ id }) => !COMMON.includes(id)))}
        </Fold>
      </section>
      <section aria-labelledby="where-heading">
        <h2 id="where-heading">3. Where to?</h2>
        <div class="field">
          <label for="leaving">The day you leave</label>
          <input id="leaving" type="date" value={date} onChange={(event) => change({ date: event.currentTarget.value })} />
        </div>
        <FindPlace
          lanes={lanes}
          label={first ? (stops.length > 0 ? "And then to?" : "Where to first?") : "Where do you set off?"}
          stops={draft.places}
          choose={(place) => change({ places: [...(store.state.draft ?? NO_DRAFT).places, { ...place, nights: 2 }] })}
        />
        {first && (
          <ol class="mends" aria-label="The trip">
            {draft.places.map((place, index) => (
              <li key={`${index} ${place.name}`}>
                {index === 0 ? (
                  <p>
                    From <strong>{place.name}</strong>
                  </p>
                ) : (
                  <Stepper
                    label={`Nights at ${place.name}`}
                    value={place.nights}
                    min={0}
                    max={MOST_NIGHTS}
                    step={1}
                    change={(nights) => setNights(index, nights ?? 0)}
                  />
                )}
                <button
                  type="button"
                  class="quiet"
                  aria-label={`Leave out ${place.name}`}
                  onClick={() => change({ places: draft.places.filter((_, at) => at !== index) })}
                >
                  Leave out
                </button>
              </li>
            ))}
          </ol>
        )}
        {stops.length > 0 && (
          <label class="tick">
            <input type="checkbox" checked={draft.isRound} onChange={(event) => change({ isRound: event.currentTarget.checked })} />
            <span>Back to {first?.name} at the end</span>
          </label>
        )}
      </section>
      <section aria-labelledby="then-heading">
        <h2 id="then-heading">Does it last?</h2>
        <Explained />
        <p class="hint" role="status">
          {missing.length > 0 ? `Still to say: ${missing.join(", ")}.` : ""}
        </p>
        <button type="button" disabled={missing.length > 0 || isWorking} onClick={() => void show()}>
          Show the verdict
        </button>
      </section>
    </>
  );
}

function freeFileName(taken: string[]): string {
  let name = "my-trip.json";
  for (let number = 2; taken.includes(name); number += 1) name = `my-trip-${number}.json`;
  return name;
}
