// Usual devices with typical figures, to begin a load from.
//
// One job: a list to choose from. Generic kinds of devices only. Every figure here is common
// practice, without a source: the data sheet or a meter on the lead beats it, and each says the
// range it is met in.

export interface Device {
  group: string;
  id: string;
  name: string;
  /** The range in which it is met. */
  typical: string;
  caution?: string;
  load: Record<string, unknown>;
}

type Spread = number | [number, number, number];

function spread(value: Spread): unknown {
  return typeof value === "number" ? value : { min: value[0], likely: value[1], max: value[2] };
}

function steady(power_w: number, more: Record<string, unknown> = {}): Record<string, unknown> {
  return { kind: "steady", power_w, ...more };
}

function hours(power_w: number, perDay: Spread, more: Record<string, unknown> = {}): Record<string, unknown> {
  return { kind: "hours", power_w, hours_per_day: spread(perDay), ...more };
}

function duty(power_w: number, share: number, more: Record<string, unknown> = {}): Record<string, unknown> {
  return { kind: "duty", power_w, duty: share, ...more };
}

function event(power_w: number, minutes: Spread, on: string): Record<string, unknown> {
  return { kind: "event", power_w, minutes: spread(minutes), on };
}

function cold(running_w: number, average_a: number, set_c: number): Record<string, unknown> {
  return {
    kind: "fridge",
    kept: "cabin",
    running_w,
    set_c,
    rated: { average_a, at_ambient_c: 32, at_inside_c: set_c },
    openings_per_day: set_c < -5 ? 3 : 10,
    when: "always",
  };
}

const CAMP = { where: "camp" };
const EVENING = { when: { window: ["sunset", "22:00"] }, ...CAMP };
const NIGHT = { when: { window: ["22:00", "06:30"] }, ...CAMP };
/** Put in its place by the name of an inverter when it is added. */
const THROUGH = { inverter: "" };
const DRIVING = { when: "ignition" };

const LIST: [string, string, string, string, Record<string, unknown>, string?][] = [
  ["Cold", "fridge-20", "Fridge, some 20 l", "0.5 to 1.0 A on average at 32 °C and 12 V", cold(40, 0.7, 4)],
  ["Cold", "fridge-40", "Fridge, some 40 l", "0.7 to 1.4 A on average at 32 °C and 12 V", cold(45, 1.0, 4)],
  ["Cold", "fridge-60", "Fridge, some 60 l", "1.0 to 1.8 A on average at 32 °C and 12 V", cold(50, 1.4, 4)],
  ["Cold", "fridge-80", "Fridge, some 80 l", "1.3 to 2.3 A on average at 32 °C and 12 V", cold(60, 1.7, 4)],
  ["Cold", "fridge-130", "Fridge, some 130 l, upright", "1.8 to 3.0 A on average at 32 °C and 12 V", cold(70, 2.3, 4)],
  ["Cold", "freezer-40", "Freezer, some 40 l", "1.6 to 2.8 A on average at 32 °C and 12 V", cold(50, 2.1, -15)],
  ["Cold", "freezer-60", "Freezer, some 60 l", "2.2 to 3.6 A on average at 32 °C and 12 V", cold(60, 2.8, -15)],
  ["Light", "lights-inside", "Lights inside, LED", "5 to 15 W", hours(8, [2, 3, 5], EVENING)],
  ["Light", "lights-awning", "Lights under the awning, LED strip", "8 to 20 W", hours(12, [1, 3, 4], EVENING)],
  ["Light", "reading-light", "Reading light", "1 to 4 W", hours(2, [0.5, 1, 2], EVENING)],
  ["Light", "work-light", "Work light outside", "20 to 60 W", hours(40, [0, 0.3, 1], EVENING)],
  ["Light", "night-light", "Light through the night", "0.5 to 2 W", steady(1, NIGHT)],
  ["Light", "insect-light", "Insect light", "2 to 10 W", hours(5, [2, 3, 5], EVENING)],
  ["Talk and data", "two-way-radio", "Two-way radio, VHF or UHF", "3 to 8 W listening, more when talking", steady(5, DRIVING)],
  ["Talk and data", "hf-radio", "Long-distance radio, HF", "10 to 30 W listening, 100 to 250 W talking", hours(20, [0.2, 0.5, 1])],
  ["Talk and data", "handheld-radios", "Two handheld radios charging", "5 to 10 W", hours(8, [1, 2, 3])],
  ["Talk and data", "satellite-dish", "Satellite uplink, flat dish", "40 to 110 W", hours(65, [1, 3, 6], CAMP)],
  ["Talk and data", "satellite-small", "Satellite uplink, small dish", "20 to 40 W", hours(28, [1, 3, 6], CAMP)],
  ["Talk and data", "satellite-phone", "Satellite telephone charging", "5 to 10 W", hours(8, [0.2, 0.5, 1])],
  ["Talk and data", "cell-router", "Cellular router", "5 to 12 W", hours(8, [2, 6, 14])],
  ["Talk and data", "cell-booster", "Cellular repeater", "10 to 30 W", hours(18, [1, 3, 8])],
  ["Talk and data", "messenger", "Satellite messenger charging", "2 to 5 W", hours(3, [0.5, 1, 2])],
  ["Talk and data", "tracker", "Vehicle tracker", "0.2 to 1 W, always", steady(0.5, { when: "always" })],
  ["Small things", "phone", "Telephone charging", "5 to 20 W", hours(10, [1, 1.5, 3])],
  ["Small things", "tablet-map", "Tablet as a map", "8 to 18 W", steady(12, DRIVING)],
  ["Small things", "laptop-dc", "Laptop, from a DC adapter", "30 to 90 W", hours(50, [0.5, 1.5, 4], CAMP)],
  ["Small things", "laptop-ac", "Laptop, through an inverter", "30 to 90 W", hours(50, [0.5, 1.5, 4], { ...CAMP, ...THROUGH })],
  ["Small things", "camera-charger", "Camera batteries charging", "8 to 20 W", hours(12, [0.5, 1.5, 3])],
  ["Small things", "drone-charger", "Drone batteries charging", "60 to 180 W", hours(90, [0, 0.7, 1.5])],
  ["Small things", "torch-charger", "Torches charging", "5 to 10 W", hours(6, [0.5, 1, 2])],
  ["Small things", "toothbrush", "Toothbrush and razor", "1 to 5 W", hours(3, [0.2, 0.5, 1])],
  ["Small things", "tool-charger", "Power-tool batteries charging", "60 to 150 W", hours(90, [0, 0.3, 1], THROUGH)],
  ["Small things", "speaker", "Loudspeaker", "5 to 20 W", hours(8, [0, 1, 3], CAMP)],
  ["Small things", "stereo", "Vehicle stereo in camp", "10 to 40 W", hours(18, [0, 1, 3], CAMP)],
  ["Small things", "television", "Television, 12 V", "20 to 50 W", hours(30, [0, 1, 2.5], EVENING)],
  ["Small things", "projector", "Projector", "40 to 100 W", hours(60, [0, 0.5, 2], EVENING)],
  ["Small things", "game-console", "Games console, handheld", "10 to 20 W", hours(12, [0, 1, 2])],
  ["Water", "tap-pump", "Tap pump", "40 to 80 W, 3 to 10 % of the day", duty(60, 0.03, { when: { window: ["06:30", "21:30"] }, ...CAMP })],
  ["Water", "shower-pump", "Shower pump", "40 to 90 W", hours(60, [0.05, 0.15, 0.3], CAMP)],
  ["Water", "transfer-pump", "Transfer pump for tanks", "50 to 120 W", event(80, [3, 8, 15], "arrive")],
  ["Water", "water-steriliser", "Ultraviolet steriliser", "10 to 25 W", hours(15, [0.1, 0.3, 0.5])],
  ["Water", "water-heater-ignition", "Gas or diesel water heater, its electrics", "15 to 60 W", hours(30, [0.3, 0.6, 1], CAMP)],
  ["Water", "water-heater-electric", "Electric water heater", "200 to 800 W", hours(300, [0.3, 0.8, 1.5], CAMP)],
  ["Water", "bilge-pump", "Grey-water pump", "30 to 60 W", hours(40, [0.02, 0.05, 0.1], CAMP)],
  ["Warm and cool", "diesel-heater", "Diesel air heater", "10 to 40 W running, over 100 W for minutes at the start", hours(22, [2, 5, 9], { ...CAMP, when: { window: ["18:00", "07:00"] } })],
  ["Warm and cool", "gas-heater-fan", "Gas heater's fan", "10 to 25 W", hours(15, [1, 4, 8], { ...CAMP, when: { window: ["18:00", "07:00"] } })],
  ["Warm and cool", "roof-fan", "Roof fan", "10 to 40 W", hours(20, [2, 6, 12], CAMP)],
  ["Warm and cool", "table-fan", "Table fan", "5 to 20 W", hours(10, [1, 4, 10], CAMP)],
  ["Warm and cool", "electric-blanket", "Electric blanket", "40 to 70 W", hours(50, [0.5, 2, 6], NIGHT)],
  ["Warm and cool", "evaporative-cooler", "Evaporative cooler", "40 to 100 W", hours(60, [1, 3, 8], CAMP)],
  ["Warm and cool", "air-conditioner", "Air conditioner, 12 V", "300 to 900 W", hours(500, [0.5, 2, 5], CAMP)],
  ["Kitchen", "kettle-12v", "Kettle, 12 V", "120 to 250 W", hours(170, [0.2, 0.5, 1], CAMP)],
  ["Kitchen", "kettle-ac", "Kettle, through an inverter", "1000 to 2200 W", hours(1500, [0.05, 0.12, 0.25], { ...CAMP, ...THROUGH })],
  ["Kitchen", "induction", "Induction plate, through an inverter", "800 to 2000 W", hours(1200, [0.2, 0.4, 0.8], { ...CAMP, ...THROUGH })],
  ["Kitchen", "microwave", "Microwave, through an inverter", "900 to 1600 W", hours(1200, [0.05, 0.12, 0.3], { ...CAMP, ...THROUGH })],
  ["Kitchen", "coffee-machine", "Coffee machine, through an inverter", "900 to 1500 W", hours(1200, [0.05, 0.1, 0.2], { ...CAMP, ...THROUGH })],
  ["Kitchen", "travel-oven", "Travel oven, 12 V", "100 to 180 W", hours(130, [0, 1, 2])],
  ["Kitchen", "rice-cooker", "Rice cooker, through an inverter", "300 to 500 W", hours(400, [0, 0.4, 0.7], { ...CAMP, ...THROUGH })],
  ["Kitchen", "blender", "Blender, through an inverter", "250 to 600 W", hours(350, [0, 0.05, 0.1], { ...CAMP, ...THROUGH })],
  ["Kitchen", "slow-cooker", "Slow cooker, through an inverter", "100 to 200 W", hours(150, [0, 3, 6], { ...CAMP, ...THROUGH })],
  ["Vehicle", "compressor-small", "Air compressor, small", "150 to 350 W", event(250, [8, 15, 30], "arrive")],
  ["Vehicle", "compressor-large", "Air compressor, large", "400 to 1000 W", event(700, [5, 12, 20], "arrive")],
  ["Vehicle", "winch", "Winch", "2000 to 5000 W under load, for minutes", event(3000, [0, 1, 5], "arrive"), "A winch belongs on the starting battery with the engine running."],
  ["Vehicle", "dash-camera", "Dash camera", "3 to 8 W", steady(5, DRIVING)],
  ["Vehicle", "parked-camera", "Camera watching while parked", "2 to 6 W", steady(4, { when: "parked" })],
  ["Vehicle", "reversing-camera", "Reversing cameras and screen", "5 to 15 W", steady(8, DRIVING)],
  ["Vehicle", "tyre-monitor", "Tyre pressure monitor", "0.5 to 2 W", steady(1, DRIVING)],
  ["Vehicle", "alarm", "Alarm", "0.2 to 1 W, always", steady(0.5, { when: "always" })],
  ["Vehicle", "gas-alarm", "Gas and smoke alarm", "0.5 to 2 W, always", steady(1, { when: "always" })],
  ["Vehicle", "monitor", "Battery monitor with screen", "0.2 to 2 W, always", steady(0.8, { when: "always" })],
  ["Vehicle", "awning-motor", "Awning motor", "60 to 150 W", event(100, [1, 2, 3], "arrive")],
  ["Vehicle", "roof-lift", "Lifting roof or steps", "100 to 300 W", event(200, [0.5, 1, 2], "arrive")],
  ["Health", "sleep-apnoea", "Sleep breathing device, without humidifier", "10 to 40 W", hours(25, [6, 7.5, 8.5], NIGHT), "For a medical device this is no tool for life support: follow its maker and keep a second source of power."],
  ["Health", "sleep-apnoea-humid", "Sleep breathing device with heated humidifier", "40 to 90 W", hours(60, [6, 7.5, 8.5], NIGHT), "For a medical device this is no tool for life support: follow its maker and keep a second source of power."],
  ["Health", "oxygen", "Oxygen concentrator, portable", "40 to 120 W", hours(80, [2, 8, 16]), "For a medical device this is no tool for life support: follow its maker and keep a second source of power."],
  ["Health", "medicine-cooler", "Medicine cooler", "20 to 50 W, a third of the time", duty(30, 0.35, { when: "always" }), "For medicine that must stay cold, keep a second way to cool it and a thermometer in it."],
];

export const DEVICES: Device[] = LIST.map(([group, id, name, typical, load, caution]) => ({
  group,
  id,
  name,
  typical,
  load,
  caution,
}));
