// Places by name: looked up in the engine, put into the trip.

import { useId, useState } from "preact/hooks";
import { withItem, withValue } from "./edit_text";
import type { Form } from "./build_field";
import type { Lanes } from "./engine";
import { stopsOf } from "./gpx";
import { isRefusal, type Refusal } from "./protocol";

interface Place {
  /** As the file may say it. */
  full_name: string;
  lat: number;
  lon: number;
}

interface Found {
  status: number;
  json?: string;
  places?: Place[];
}

/** A leg to a place just found, to be refined below. */
function legTo(stop: Record<string, unknown>): Record<string, unknown> {
  return { ...stop, drive_hours: { min: 2, likely: 3, max: 5 }, nights: 1 };
}

export function Places({ lanes, form }: { lanes: Lanes; form: Form }) {
  const id = useId();
  const [name, setName] = useState("");
  const [found, setFound] = useState<Place[] | null>(null);
  const [said, setSaid] = useState("");
  const look = async () => {
    const answer = await lanes.look.ask<Found | Refusal>({ ask: "places", name });
    if (isRefusal(answer)) {
      setFound([]);
      setSaid((answer.text ?? "No such place is known.").replace(/^error: /, ""));
      return;
    }
    const places = answer.places ?? (answer.json ? (JSON.parse(answer.json) as { places: Place[] }).places : []);
    setFound(places);
    setSaid(places.length === 0 ? "No such place is known: give coordinates in a stop's fields." : "");
  };
  const bring = async (input: HTMLInputElement) => {
    const file = input.files?.[0];
    const stops = file ? stopsOf(await file.text()) : "No file.";
    input.value = "";
    if (typeof stops === "string") {
      setSaid(stops);
      return;
    }
    form.edit((text) =>
      stops.reduce(
        (all, { name: to, lat, lon }, index) =>
          withItem(all, ["itinerary", "legs"], legs.length + index, legTo({ to, lat, lon })),
        text,
      ),
    );
    setSaid(`${stops.length} stops added; their hours of driving are a guess to be put right.`);
  };
  const legs = (form.scenario.itinerary as { legs?: unknown[] } | undefined)?.legs ?? [];
  return (
    <div class="field">
      <label for={id}>Find a place by name</label>
      <div class="stepper">
        <input id={id} type="text" autocomplete="off" value={name} onInput={(event) => setName(event.currentTarget.value)}
          onKeyDown={(event) => { if (event.key === "Enter") void look(); }} />
        <button type="button" class="wide" disabled={name.trim() === ""} onClick={() => void look()}>
          Find
        </button>
      </div>
      <p class="hint" role="status">{said}</p>
      <label for={`${id}-gpx`}>Or stops from a GPX file</label>
      <input
        id={`${id}-gpx`}
        type="file"
        accept=".gpx,application/gpx+xml"
        onChange={(event) => void bring(event.currentTarget)}
      />
      {found && found.length > 0 && (
        <ul class="mends">
          {found.slice(0, 8).map((place) => (
            <li key={`${place.full_name} ${place.lat} ${place.lon}`}>
              <p>
                <strong>{place.full_name}</strong> <span class="muted">{place.lat.toFixed(2)}, {place.lon.toFixed(2)}</span>
              </p>
              <div class="actions">
                <button
                  type="button"
                  aria-label={`Stop at ${place.full_name}`}
                  onClick={() => {
                    form.insert(["itinerary", "legs"], legs.length, legTo({ to: place.full_name }));
                    setFound(null);
                    setName("");
                    setSaid(`${place.full_name} is the last stop now.`);
                  }}
                >
                  Add as the last stop
                </button>
                <button
                  type="button"
                  aria-label={`Begin at ${place.full_name}`}
                  onClick={() => {
                    // Its zone is that of the place, so the zone of another place goes.
                    form.edit((text) =>
                      withValue(withValue(text, ["itinerary", "from"], { name: place.full_name }), ["itinerary", "time_zone"], undefined),
                    );
                    setFound(null);
                    setName("");
                    setSaid(`The trip begins at ${place.full_name} now.`);
                  }}
                >
                  Begin here
                </button>
              </div>
            </li>
          ))}
        </ul>
      )}
    </div>
  );
}
