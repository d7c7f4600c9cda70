// The trip's places: found by name or on the map, or from a GPX file, and put into the trip.

import { useId, useState } from "preact/hooks";
import { useQuick } from "./asking";
import { withValue } from "./edit_text";
import type { Form } from "./build_field";
import type { Lanes } from "./engine";
import { FindPlace, placed, withLegs, type Place } from "./find_place";
import { stopsOf } from "./gpx";
import type { MapStop } from "./map";
import { isRefusal, type Outline, type ScenarioFile } from "./protocol";

export function Places({ lanes, form, scenario }: { lanes: Lanes; form: Form; scenario: ScenarioFile }) {
  const id = useId();
  const [said, setSaid] = useState("");
  const [chosen, setChosen] = useState<Place | null>(null);
  const outline = useQuick<Outline>(lanes, { ask: "outline", scenario });
  const legs = (form.scenario.itinerary as { legs?: unknown[] } | undefined)?.legs ?? [];
  // Of a file that is not sound nothing is known.
  const stops: MapStop[] = outline && !isRefusal(outline)
    ? [{ name: outline.from, at: outline.from_at }, ...outline.stops]
    : [];
  const append = async (places: Place[], then: string) => {
    const text = await withLegs(lanes, scenario.text, stops[stops.length - 1]?.at, legs.length, places);
    form.edit(() => text);
    setSaid(`${then} Roads are taken as 1.3 times the straight line: put distance, speed and nights right below.`);
  };
  const bring = async (input: HTMLInputElement) => {
    const file = input.files?.[0];
    const points = file ? stopsOf(await file.text()) : "No file.";
    input.value = "";
    if (typeof points === "string") {
      setSaid(points);
      return;
    }
    const places = points.map(({ name, lat, lon }) => ({ name, at: [lat, lon] as const, zone: "", isNamed: false }));
    await append(places, `${points.length} stops added.`);
  };
  return (
    <>
      <FindPlace lanes={lanes} label="Find a place by name" stops={stops} choose={setChosen} />
      <p class="hint" role="status">{said}</p>
      {chosen && (
        <div class="field group">
          <p>
            <strong>{chosen.name}</strong>
          </p>
          <div class="actions">
            <button
              type="button"
              onClick={() => {
                void append([chosen], `${chosen.name} is the last stop now.`);
                setChosen(null);
              }}
            >
              Add as the last stop
            </button>
            <button
              type="button"
              onClick={() => {
                // A known place brings its zone along, so that of the place before goes.
                const zone = chosen.isNamed ? undefined : chosen.zone;
                form.edit((text) =>
                  withValue(withValue(text, ["itinerary", "from"], placed(chosen, "name")), ["itinerary", "time_zone"], zone),
                );
                setSaid(`The trip begins at ${chosen.name} now.`);
                setChosen(null);
              }}
            >
              Begin here
            </button>
          </div>
        </div>
      )}
      <div class="field">
        <label for={id}>Or stops from a GPX file</label>
        <input id={id} type="file" accept=".gpx,application/gpx+xml" onChange={(event) => void bring(event.currentTarget)} />
      </div>
    </>
  );
}
