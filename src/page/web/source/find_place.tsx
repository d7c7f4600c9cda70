// A place found by the beginning of its name, or by a tap on the map.
//
// One job: what is typed or tapped to one place, looked up in the engine. What is done with it is each screen's.

import { useEffect, useId, useRef, useState } from "preact/hooks";
import { withItem } from "./edit_text";
import type { Lanes } from "./engine";
import { OutlineMap, type MapStop } from "./map";
import type { Point } from "./map_view";
import { isRefusal, type Refusal } from "./protocol";
import { count } from "./words";

interface Known {
  /** As the file may say it. */
  full_name: string;
  country_name: string;
  region_name: string;
  lat: number;
  lon: number;
  time_zone: string;
  /** From where one comes. */
  km?: number;
  leg?: Way;
  /** A point by the way to it from this place. */
  way?: string;
}

/** How far and how fast a leg is, as the file says it. */
export type Way = Record<string, unknown>;

export interface Place {
  name: string;
  at: Point;
  zone: string;
  /** Whether the name alone says where it is. */
  isNamed: boolean;
}

interface Found {
  status: number;
  places: Known[];
}

/** Until so long after a key no look-up begins, ms. */
const TYPED_MS = 150;
/** So long nothing is typed before a name is looked for that is spelled otherwise, ms. */
const LEFT_MS = 900;
const FEWEST_LETTERS = 2;
/** For a leg whose beginning is not known. */
const NO_WAY: Way = { drive_hours: 3 };

/** The place as the file says it, its name under the key. */
export function placed(place: Place, key: "name" | "to"): Record<string, unknown> {
  const [lat, lon] = place.at;
  return place.isNamed ? { [key]: place.name } : { [key]: place.name, lat, lon };
}

async function lookedUp(lanes: Lanes, at: Point, by?: Point): Promise<Known | null> {
  const answer = await lanes.look.ask<Found | Refusal>({ ask: "places", at, by });
  return isRefusal(answer) ? null : (answer.places[0] ?? null);
}

/** A leg from one point to a place, to be refined. */
export async function legTo(lanes: Lanes, from: Point | undefined, place: Place, nights: number): Promise<Record<string, unknown>> {
  const known = from && (await lookedUp(lanes, place.at, from));
  return { ...placed(place, "to"), ...(known?.leg ?? NO_WAY), ...(nights > 0 ? { nights } : {}) };
}

/** Several places as legs after one another at the end of a trip's text. */
export async function withLegs(lanes: Lanes, text: string, from: Point | undefined, legs: number, places: Place[]): Promise<string> {
  let [all, last] = [text, from];
  for (const [index, place] of places.entries()) {
    all = withItem(all, ["itinerary", "legs"], legs + index, await legTo(lanes, last, place, 1));
    last = place.at;
  }
  return all;
}

interface Props {
  lanes: Lanes;
  label: string;
  /** Where the trip begins and its stops, in order; the next place is told by its way from the last of them. */
  stops: readonly MapStop[];
  choose(place: Place): void;
}

export function FindPlace({ lanes, label, stops, choose }: Props) {
  const id = useId();
  const [name, setName] = useState("");
  const [found, setFound] = useState<Known[]>([]);
  const [said, setSaid] = useState("");
  const [tapped, setTapped] = useState<Point | null>(null);
  const [isMap, setMap] = useState(false);
  const newest = useRef(0);
  const last = stops[stops.length - 1]?.at;
  useEffect(() => {
    newest.current += 1;
    const turn = newest.current;
    const typed = name.trim();
    if (typed.length < FEWEST_LETTERS) {
      setFound([]);
      return;
    }
    const look = async (begins: boolean) => {
      const answer = await lanes.look.ask<Found | Refusal>({ ask: "places", name: typed, begins, by: last });
      if (turn !== newest.current) return;
      const places = isRefusal(answer) ? [] : answer.places;
      setFound(places);
      setSaid(isRefusal(answer) ? (answer.text ?? "").replace(/^error: /, "") : told(places.length));
      // Names that are alike take longer to find: only for what is not typed on.
      if (begins && places.length === 0) timer = setTimeout(() => void look(false), LEFT_MS);
    };
    let timer = setTimeout(() => void look(true), TYPED_MS);
    return () => clearTimeout(timer);
  }, [name, last?.join()]);
  const take = (place: Place) => {
    newest.current += 1;
    setName("");
    setFound([]);
    setSaid("");
    choose(place);
  };
  const takeKnown = ({ full_name, lat, lon, time_zone }: Known) => {
    setTapped(null);
    take({ name: full_name, at: [lat, lon], zone: time_zone, isNamed: true });
  };
  const tap = async ([lat, lon]: Point) => {
    const at = [Number(lat.toFixed(3)), Number(lon.toFixed(3))] as const;
    setTapped(at);
    const known = await lookedUp(lanes, at);
    if (!known) return;
    take({ name: known.way ?? known.full_name, at, zone: known.time_zone, isNamed: false });
  };
  return (
    <>
      <div class="field">
        <label for={id}>{label}</label>
        <input
          id={id}
          type="text"
          autocomplete="off"
          placeholder="the first letters of its name"
          value={name}
          onInput={(event) => setName(event.currentTarget.value)}
          onKeyDown={(event) => {
            const [first] = found;
            if (event.key !== "Enter" || !first) return;
            event.preventDefault();
            takeKnown(first);
          }}
        />
        <p class="hint" role="status">{said}</p>
        {found.length > 0 && (
          <ul class="suggestions">
            {found.map((place) => (
              <li key={`${place.full_name} ${place.lat} ${place.lon}`}>
                <button type="button" onClick={() => takeKnown(place)}>
                  {place.full_name}
                  <span class="muted"> {where(place)}</span>
                </button>
              </li>
            ))}
          </ul>
        )}
      </div>
      <details onToggle={(event) => setMap(event.currentTarget.open)}>
        <summary>Or a tap on a map</summary>
        {isMap && <OutlineMap stops={stops} chosen={tapped} choose={(point) => void tap(point)} />}
      </details>
    </>
  );
}

function told(places: number): string {
  return places === 0 ? "No name begins so." : places === 1 ? "One place." : `${places} places, the likeliest first.`;
}

function where({ region_name, country_name, km }: Known): string {
  const within = [region_name, country_name].filter(Boolean).join(", ");
  return km === undefined ? within : `${within}; ${count(km)} km away`;
}
