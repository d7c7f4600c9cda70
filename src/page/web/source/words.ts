// How figures and dates are written.
//
// One job: the forms that the program's own sentences use, so that both read alike.

import type { Interval, Quantiles } from "./protocol";

const DAYS = ["Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"];
const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/** `2027-07-14` or a time on it as `Wed 14 Jul`. */
export function day(date: string): string {
  const moment = new Date(`${date.slice(0, 10)}T12:00:00Z`);
  if (Number.isNaN(moment.getTime())) return date;
  return `${DAYS[moment.getUTCDay()]} ${moment.getUTCDate()} ${MONTHS[moment.getUTCMonth()]}`;
}

/** `2027-07-14T17:30…` as `17:30`. */
export function clock(time: string): string {
  return time.slice(11, 16);
}

/** The date so many days later. */
export function daysLater(date: string, days: number): string {
  const moment = new Date(`${date.slice(0, 10)}T12:00:00Z`);
  moment.setUTCDate(moment.getUTCDate() + days);
  return moment.toISOString().slice(0, 10);
}

export function percent(share: number): string {
  return String(Math.round(share * 100));
}

/** `95 % (90–98)`. */
export function chance(interval: Interval): string {
  return `${percent(interval.value)} % (${percent(interval.low)}–${percent(interval.high)})`;
}

export function dawn(soc: Quantiles): string {
  const [low, high] = [percent(soc.p10), percent(soc.p90)];
  return low === high ? `${low} %` : `${low} to ${high} %`;
}

export function count(number: number): string {
  return number.toLocaleString("en-GB");
}

export function nights(number: number): string {
  return number === 1 ? "1 night" : `${number} nights`;
}

/** A share as per cent, without the tail of binary fractions. */
export function inPercent(share: number): number {
  return Number((share * 100).toPrecision(12));
}

/** A value as short as it can be told, with its unit. */
export function quantity(value: number | string, unit: string): string {
  if (unit === "share" && typeof value === "number") return `${inPercent(value)} %`;
  const text = typeof value === "number" ? String(Number(value.toPrecision(6))) : value;
  return unit ? `${text} ${unit}` : text;
}

/** A claim as short as this says too little alone: what follows belongs to it. */
const SHORT_CLAIM = 40;

/** The first claim of a paragraph, and what follows it. */
export function lead(paragraph: string): [string, string] {
  for (const { index } of paragraph.matchAll(/[:;.](?=\s)/g)) {
    if (index < SHORT_CLAIM) continue;
    const rest = paragraph.slice(index + 1).trim();
    return [`${paragraph.slice(0, index)}.`, rest.charAt(0).toUpperCase() + rest.slice(1)];
  }
  return [paragraph, ""];
}

/** Clocks by their zones: to make one takes longer than a screen. */
const CLOCKS = new Map<string, Intl.DateTimeFormat>();

function clockOf(zone: string): Intl.DateTimeFormat {
  const known = CLOCKS.get(zone);
  if (known) return known;
  const of = (timeZone: string | undefined) =>
    new Intl.DateTimeFormat("en-GB", {
      timeZone,
      year: "numeric",
      month: "2-digit",
      day: "2-digit",
      hour: "2-digit",
      minute: "2-digit",
      hourCycle: "h23",
    });
  let made: Intl.DateTimeFormat;
  try {
    made = of(zone);
  } catch {
    made = of(undefined);
  }
  CLOCKS.set(zone, made);
  return made;
}

/** The device's clock in a time zone, as `2027-07-14T17:30`. */
export function clockIn(zone: string): string {
  const parts = clockOf(zone).formatToParts(new Date());
  const part = (kind: string) => parts.find(({ type }) => type === kind)?.value ?? "00";
  return `${part("year")}-${part("month")}-${part("day")}T${part("hour")}:${part("minute")}`;
}
