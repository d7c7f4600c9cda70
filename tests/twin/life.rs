//! A trial of the twin, lived second by second.
//!
//! One job: what stands at the beginning, and the order of things within a second. Who gets how much
//! is in `sharing`.

use tideover::engine::Draws;
use tideover::scenario::{Controller, Mount};

use super::bank::{Cell, Second};
use super::calendar::{Spans, opened};
use super::load::{Appliance, Cooling};
use super::sharing::{feed_ohm, takers_first};
use super::sky::{self, Places};
use super::{Lived, World};

/// A trial being lived.
pub struct Life<'a> {
    pub world: &'a World<'a>,
    pub draws: &'a Draws,
    pub lane: usize,
    pub places: Places,
    /// The same in the trailer, which stays in camp during local drives.
    pub trailer_places: Places,
    pub cells: Vec<Cell<'a>>,
    pub appliances: Vec<Appliance<'a>>,
    pub fridges: Vec<usize>,
    pub order: Vec<usize>,
    pub feed_ohm: Vec<f64>,
    pub lived_in: Option<Spans>,
    pub drive: usize,
    pub engine_s: f64,
    pub lived: Lived,
}

impl<'a> Life<'a> {
    pub fn new(world: &'a World<'a>, draws: &'a Draws, lane: usize, cooling: Cooling) -> Self {
        let scenario = world.scenario;
        let first = &world.looks[0];
        let day = first.weather_day;
        let ambient_c = sky::ambient_c(draws, lane, first);
        let mean_c = 0.5 * (draws.day_min_c[day][lane] + draws.day_max_c[day][lane]);
        let cells: Vec<Cell> = scenario
            .banks
            .iter()
            .zip(&draws.start_soc)
            .map(|(bank, soc)| Cell::new(bank, scenario.voltage_factor(), soc[lane], mean_c))
            .collect();
        let appliances: Vec<Appliance> = (0..scenario.loads.len())
            .map(|load| Appliance::new(scenario, &world.calendar, load, ambient_c, cooling))
            .collect();
        let fridges: Vec<usize> = (0..appliances.len())
            .filter(|&load| appliances[load].is_fridge())
            .collect();
        let shortfall_s = cells
            .iter()
            .map(|cell| (cell.soc < cell.bank.reserve_soc).then_some(0.0));
        let lived = Lived {
            soc: vec![Vec::new(); cells.len()],
            volts: vec![Vec::new(); cells.len()],
            amps: vec![Vec::new(); cells.len()],
            fridge_c: vec![Vec::new(); fridges.len()],
            end_soc: Vec::new(),
            accounts: Vec::new(),
            load_wh: vec![0.0; scenario.loads.len()],
            charger_wh: vec![0.0; scenario.chargers.len()],
            panel_wh: vec![0.0; scenario.solar.len()],
            shortfall_s: shortfall_s.collect(),
            had_outage: Vec::new(),
            oversubscribed_h: 0.0,
            driven_h: 0.0,
            fridge_run_h: vec![0.0; fridges.len()],
        };
        Self {
            places: Places::new(ambient_c),
            trailer_places: Places::new(ambient_c),
            order: takers_first(scenario),
            feed_ohm: (0..scenario.chargers.len())
                .map(|charger| feed_ohm(scenario, charger))
                .collect(),
            lived_in: scenario
                .itinerary
                .lived_in
                .map(|window| world.calendar.spans(window)),
            world,
            draws,
            lane,
            cells,
            appliances,
            fridges,
            drive: 0,
            engine_s: 0.0,
            lived,
        }
    }

    pub fn second(&mut self, second: i64) {
        let (world, lane) = (self.world, self.lane);
        let look = &world.looks[(second / sky::LOOK_S) as usize];
        let now_s = second as f64 + 0.5;
        let utc_s = world.calendar.start_s + second;
        let drives = &self.draws.drives[lane];
        while drives
            .get(self.drive)
            .is_some_and(|drive| drive.to_s <= now_s)
        {
            self.drive += 1;
        }
        let drive = drives.get(self.drive).filter(|drive| drive.from_s <= now_s);
        let (driving, towing) = (drive.is_some(), drive.is_some_and(|drive| drive.is_leg));
        let camped = now_s >= self.draws.departure_s[lane];
        // An hour after a leg's arrival a portable panel stands.
        let settling = drives[..self.drive]
            .iter()
            .rev()
            .find(|drive| drive.is_leg)
            .is_some_and(|drive| now_s < drive.to_s + 3600.0);

        let light = sky::light(world.timeline, self.draws, lane, &world.hours, look);
        let flat_w_m2 = sky::plane_w_m2(look, None, light, look.shade);
        let ambient_c = sky::ambient_c(self.draws, lane, look);
        self.warm(
            look.day,
            utc_s,
            [ambient_c, flat_w_m2],
            [driving, towing, camped],
        );

        let mut flows = vec![Second::default(); self.cells.len()];
        for appliance in &mut self.appliances {
            let bank = &world.scenario.banks[appliance.load.bank];
            let away = if bank.trailer { towing } else { driving };
            appliance.ask(
                self.draws,
                lane,
                look.day,
                utc_s,
                now_s,
                away,
                camped,
                if bank.trailer {
                    &self.trailer_places
                } else {
                    &self.places
                },
            );
            flows[appliance.load.bank].load_w += appliance.watts;
            flows[appliance.load.bank].wanted_w += appliance.wanted_w;
            flows[appliance.load.bank].load_a += appliance.amps;
        }

        let mut panel_amount = vec![0.0; world.scenario.solar.len()];
        for (panel, amount) in world.scenario.solar.iter().zip(&mut panel_amount) {
            let away = if world.scenario.banks[panel.to].trailer {
                towing
            } else {
                driving
            };
            let day = &world.calendar.days[look.day];
            let on_plane = if panel.mount == Mount::Portable {
                let stands = camped
                    && !away
                    && !settling
                    && utc_s >= day.rise_s + 3600
                    && utc_s < day.set_s - 3600;
                if stands {
                    sky::plane_w_m2(look, Some(day.noon_facing), light, look.shade)
                } else {
                    0.0
                }
            } else if away {
                sky::plane_w_m2(look, None, light, 0.0)
            } else {
                let facing = sky::facing(panel.mount, day.noon_facing);
                sky::plane_w_m2(look, facing, light, look.shade)
            };
            *amount = sky::panel_yield(
                panel.panel_w,
                panel.controller == Controller::Pwm,
                18.0 * world.scenario.voltage_factor(),
                panel.losses,
                on_plane,
                ambient_c,
                away,
            );
        }
        self.flow(look, driving, towing, camped, flows, &panel_amount);
        for (bank, cell) in self.cells.iter().enumerate() {
            if cell.soc < cell.bank.reserve_soc && self.lived.shortfall_s[bank].is_none() {
                self.lived.shortfall_s[bank] = Some(now_s);
            }
        }
    }

    /// Air and batteries of the vehicle and its trailer.
    fn warm(
        &mut self,
        day: usize,
        utc_s: i64,
        [ambient_c, flat_w_m2]: [f64; 2],
        [driving, towing, camped]: [bool; 3],
    ) {
        let spans = self.lived_in.as_ref();
        let is_lived = camped && spans.is_some_and(|spans| opened(spans, day, utc_s).is_some());
        let floor_c = if self.world.scenario.itinerary.heated {
            20.0
        } else {
            f64::NEG_INFINITY
        };
        let floor_c = is_lived.then_some(floor_c);
        self.places.second(ambient_c, flat_w_m2, driving, floor_c);
        self.trailer_places
            .second(ambient_c, flat_w_m2, towing, floor_c);
        for cell in &mut self.cells {
            let places = if cell.bank.trailer {
                &self.trailer_places
            } else {
                &self.places
            };
            let around_c = places.around_c(cell.bank.kept);
            cell.warm(around_c);
        }
    }

    pub fn finish(mut self) -> Lived {
        self.lived.end_soc = self.cells.iter().map(|cell| cell.soc).collect();
        self.lived.had_outage = self.cells.iter().map(|cell| cell.had_outage).collect();
        self.lived.accounts = self.cells.into_iter().map(|cell| cell.account).collect();
        self.lived
    }
}
