// Stops from a GPX file (GPX 1.1): its waypoints, or else the points of its routes.
//
// One job: names and positions. Tracks are not read: they say where one was, not where one stops.

export interface Waypoint {
  name: string;
  lat: number;
  lon: number;
}

const MOST_STOPS = 400;
const LONGEST_NAME = 100;

/** The stops of a file, or why there are none. */
export function stopsOf(text: string): Waypoint[] | string {
  const file = new DOMParser().parseFromString(text, "application/xml");
  if (file.querySelector("parsererror") || file.documentElement.localName !== "gpx") return "This is no GPX file.";
  const points = [...file.getElementsByTagNameNS("*", "wpt")];
  const used = points.length > 0 ? points : [...file.getElementsByTagNameNS("*", "rtept")];
  const stops = used.flatMap((point, index) => {
    const [lat, lon] = [Number(point.getAttribute("lat") ?? NaN), Number(point.getAttribute("lon") ?? NaN)];
    if (!(Math.abs(lat) <= 90 && Math.abs(lon) <= 180)) return [];
    const named = [...point.children].find((child) => child.localName === "name")?.textContent?.trim();
    return [{ name: (named || `Point ${index + 1}`).slice(0, LONGEST_NAME), lat: rounded(lat), lon: rounded(lon) }];
  });
  if (stops.length === 0) return "This file has no waypoints and no route.";
  return stops.slice(0, MOST_STOPS);
}

/** Weather does not change within 10 m. */
function rounded(degrees: number): number {
  return Number(degrees.toFixed(4));
}
