// Nights to choose from, and the charge that dawn will find.

import type { Outline, StayJson } from "./protocol";
import { chance, dawn, day, nights, percent } from "./words";

/** Rows that are always there; one more than the chosen number besides. */
const FEWEST_ROWS = 4;

interface NightRowsProps {
  json: StayJson;
  chosen: number | null;
  choose(nights: number | null): void;
}

/** One row for each number of nights more: what it does here, and to the rest of the trip. */
export function NightRows({ json, chosen, choose }: NightRowsProps) {
  const rows = json.rest ?? [];
  if (rows.length === 0) return null;
  const taken = json.from.nights;
  const end = Math.max(taken + 2, FEWEST_ROWS);
  return (
    <fieldset class="rows">
      <legend>Nights more</legend>
      {rows.slice(0, end).map((row) => (
        <label key={row.nights_more}>
          <input
            type="radio"
            name="nights-more"
            checked={row.nights_more === taken}
            onChange={() => choose(row.nights_more)}
          />
          <span>
            <strong>{row.nights_more === 0 ? "drive on now" : nights(row.nights_more)}</strong>
            {row.nights_more > 0 && <>, leaving {day(row.leave)}</>}
            <br />
            no shortfall here {percent(row.chance_here.value)} %, later {percent(row.chance_rest.value)} %;{" "}
            <strong>both {chance(row.chance_both)}</strong>
          </span>
        </label>
      ))}
      {chosen !== null && (
        <button type="button" class="quiet" onClick={() => choose(null)}>
          As many nights as planned
        </button>
      )}
    </fieldset>
  );
}

export function DawnTable({ json, outline }: { json: StayJson; outline: Outline }) {
  const night = json.banks[0]?.nights[0];
  if (!night) return null;
  return (
    <div class="scroll" tabIndex={0} role="region" aria-label="Charge at the next dawn">
      <table>
        <thead>
          <tr>
            <th scope="col">bank</th>
            <th scope="col" class="figure">8 in 10 times</th>
            <th scope="col" class="figure">half are above</th>
            <th scope="col" class="figure">reserve</th>
          </tr>
        </thead>
        <tbody>
          {json.banks.map((bank) => {
            const soc = bank.nights[0]?.dawn_soc;
            const reserve = outline.banks.find(({ id }) => id === bank.id)?.reserve_soc;
            return (
              <tr key={bank.id}>
                <th scope="row">{bank.id}</th>
                <td class="figure">{soc ? dawn(soc) : "–"}</td>
                <td class="figure">{soc ? `${percent(soc.p50)} %` : "–"}</td>
                <td class="figure">{reserve === undefined ? "–" : `${percent(reserve)} %`}</td>
              </tr>
            );
          })}
        </tbody>
      </table>
      <p class="hint">The dawn after the night of {day(night.date)}, parked at {night.stop}.</p>
    </div>
  );
}
