// A chance with its interval, drawn on a line from 0 to 100 in 100.

import type { Interval } from "./protocol";
import { chance } from "./words";

const WIDTH = 240;

export function ChanceStrip({ interval }: { interval: Interval }) {
  const at = (share: number) => 4 + share * (WIDTH - 8);
  return (
    <svg class="strip" viewBox={`0 0 ${WIDTH} 26`} role="img" aria-label={`no shortfall: ${chance(interval)}`}>
      <line class="axis" x1={at(0)} y1="9" x2={at(1)} y2="9" />
      {[0, 0.5, 1].map((share) => (
        <text key={share} x={at(share)} y="24" text-anchor={share === 0 ? "start" : share === 1 ? "end" : "middle"}>
          {share * 100}
        </text>
      ))}
      <rect class="range" x={at(interval.low)} y="4" width={Math.max(at(interval.high) - at(interval.low), 2)} height="10" />
      <line class="mark" x1={at(interval.value)} y1="1" x2={at(interval.value)} y2="17" />
    </svg>
  );
}
