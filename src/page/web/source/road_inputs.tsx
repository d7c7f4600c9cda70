// Today, here, the meters and the sky.

import { Choice, Pick, Stepper } from "./fields";
import type { Outline, StayJson } from "./protocol";
import type { Road, Weather } from "./state";
import { NightRows } from "./road_nights";
import { clock, clockIn, day, daysLater } from "./words";

const SKIES = [
  ["bright", "bright"],
  ["mixed", "mixed"],
  ["dull", "dull"],
  ["", "not known"],
] as const;
const SKY_DAYS = 5;

interface Props {
  outline: Outline;
  road: Road;
  now: string;
  here: string;
  isDriving: boolean;
  json: StayJson | null;
  change(road: Partial<Road>): void;
}

export function RoadInputs({ outline, road, now, here, isDriving, json, change }: Props) {
  const byClock = clockIn(outline.zone);
  const isUnderWay = byClock >= outline.start.slice(0, 16) && byClock <= outline.end.slice(0, 16);
  const date = now.slice(0, 10);
  const firstSky = clock(now) >= "18:00" ? daysLater(date, 1) : date;
  const skyDays = Array.from({ length: SKY_DAYS }, (_, index) => daysLater(firstSky, index));
  const move = (days: number) => change({ now: `${daysLater(date, days)}T${clock(now)}`, nights: null });
  const stopNames = outline.stops.map((stop) => stop.name);
  // A name that stands twice, or looks like a number, is told by its number.
  const reference = (index: number) => {
    const name = stopNames[index] ?? "";
    const isPlain = stopNames.indexOf(name) === stopNames.lastIndexOf(name) && !/^\d+$/.test(name);
    return isPlain ? name : String(index + 1);
  };
  const said = road.at === null ? -1 : stopNames.findIndex((_, index) => reference(index) === road.at);
  const standing = said >= 0 ? said : stopNames.indexOf(here);
  const next = outline.stops[standing + 1];
  const driveOn = () => {
    if (!next) return;
    const leaving = json?.rest?.find((row) => row.nights_more === json.from.nights)?.leave ?? next.arrive;
    const arrival = `${leaving.slice(0, 10)}T${clock(next.arrive)}`;
    change({ now: arrival > now ? arrival : now, at: reference(standing + 1), nights: null, soc: {} });
  };
  return (
    <>
      <div class="field">
        <label for="road-day">Today</label>
        <div class="stepper">
          <button type="button" aria-label="a day earlier" onClick={() => move(-1)}>
            −
          </button>
          <span class="number">
            <input
              id="road-day"
              type="date"
              required
              value={date}
              min={outline.start.slice(0, 10)}
              onChange={(event) => {
                const value = event.currentTarget.value;
                if (value) change({ now: `${value}T${clock(now)}`, nights: null });
              }}
            />
          </span>
          <button type="button" aria-label="a day later" onClick={() => move(1)}>
            +
          </button>
        </div>
        <p class="hint">
          {day(date)}
          {!isUnderWay && road.now === null && "; today is not in this trip, so this looks at its first stop"}
        </p>
      </div>
      <div class="field">
        <label for="road-time">Time there</label>
        <input
          id="road-time"
          type="time"
          required
          value={clock(now)}
          onChange={(event) => {
            const value = event.currentTarget.value;
            if (value) change({ now: `${date}T${value}` });
          }}
        />
      </div>
      {road.now !== null && (
        <button type="button" class="quiet" onClick={() => change({ now: null, nights: null })}>
          {isUnderWay ? "Day and time from the clock" : "Back to the trip's first stop"}
        </button>
      )}
      <Pick
        label="Here"
        value={road.at ?? ""}
        choices={[
          ["", isDriving ? `as planned: on the way to ${here}` : `as planned: ${here}`],
          ...stopNames.map((name, index) => [reference(index), name] as const),
        ]}
        change={(name) => change({ at: name || null, nights: null })}
      />
      {next && (
        <button type="button" onClick={driveOn}>
          Drive on to {next.name}
        </button>
      )}
      {json && <NightRows json={json} chosen={road.nights} choose={(value) => change({ nights: value })} />}
      <h3>What the meters show</h3>
      <p class="hint">An empty field takes what the trip so far would have left.</p>
      {outline.banks.map((bank) => (
        <Stepper
          key={bank.id}
          label={bank.name && bank.name !== bank.id ? `${bank.id}, ${bank.name}` : bank.id}
          unit="%"
          value={road.soc[bank.id] ?? null}
          min={0}
          max={100}
          step={1}
          from={60}
          empty="not read"
          change={(value) => {
            const soc = { ...road.soc };
            if (value === null) delete soc[bank.id];
            else soc[bank.id] = value;
            change({ soc });
          }}
        />
      ))}
      <h3>The sky of the next days</h3>
      {skyDays.map((skyDate) => (
        <Choice
          key={skyDate}
          legend={day(skyDate)}
          choices={SKIES}
          value={road.sky[skyDate] ?? ""}
          change={(value: Weather | "") => {
            const sky = { ...road.sky };
            if (value === "") delete sky[skyDate];
            else sky[skyDate] = value;
            change({ sky });
          }}
        />
      ))}
    </>
  );
}
