//! What is summed over steps and trials: of a whole plan, or of its days of a kind.
//!
//! One job: the sums of each load, charger, panel and bank, and the one way to add them, from the step loop
//! to the ensemble. A figure more is a field here and a line where it is booked.

use super::lanes::Lanes;
use crate::timeline::plant::Plant;

/// Sums that go together; with `Lanes` as kept in the step loop too.
macro_rules! sums {
    ($(#[$about:meta])* $name:ident { $($(#[$what:meta])* $sum:ident,)+ }) => {
        $(#[$about])*
        #[derive(Debug, Clone, Copy, PartialEq, Default)]
        pub struct $name {
            $($(#[$what])* pub $sum: f64,)+
        }
        sums!(added $name { $($sum)+ });
    };
    ($(#[$about:meta])* $name:ident<Lanes> { $($(#[$what:meta])* $sum:ident,)+ }) => {
        $(#[$about])*
        #[derive(Debug, Clone, Copy, PartialEq, Default)]
        pub struct $name<T = f64> {
            $($(#[$what])* pub $sum: T,)+
        }
        sums!(added $name { $($sum)+ });

        impl $name<Lanes> {
            /// Every sum.
            pub(super) fn each_mut(&mut self) -> impl Iterator<Item = &mut Lanes> {
                [$(&mut self.$sum),+].into_iter()
            }

            /// Each over the trials in use, by what makes one number of a sum over the steps.
            pub(super) fn read(&self, sum_h: impl Fn(&Lanes) -> f64) -> $name {
                $name { $($sum: sum_h(&self.$sum)),+ }
            }
        }
    };
    (added $name:ident { $($sum:ident)+ }) => {
        impl $name {
            fn add(&mut self, other: &Self, factor: f64) {
                $(self.$sum += factor * other.$sum;)+
            }
        }
    };
}

sums! {
    /// One bank. In the step loop these are sums over the steps of mean powers, currents and shares: times the
    /// length of a step they are what they are called.
    Ledger<Lanes> {
        /// Into the bank at its terminals, Wh.
        in_wh,
        /// Out of it.
        out_wh,
        /// Lost inside.
        loss_wh,
        /// Change of stored energy.
        stored_wh,
        /// Drawn by monitor and protection.
        standby_wh,
        /// Lost on the way in.
        conversion_wh,
        /// Sun left over.
        curtailed_wh,
        /// Load not served.
        unserved_wh,
        /// Load not served because of the discharge limit.
        over_limit_wh,
        /// From the alternator straight into a start bank.
        alternator_wh,
        /// The same as charge, Ah.
        alternator_ah,
        /// Charge into the bank.
        in_ah,
        /// What of that is not drawn: less than nothing where more is.
        net_ah,
        /// Charge out of it: their difference, worked out when they are read.
        out_ah,
        /// Hours in which cold kept charge out of lithium.
        cold_h,
        /// That charge.
        cold_ah,
    }
}

sums! {
    /// One charger. In the step loop as in [`Ledger`].
    ChargerTotals<Lanes> {
        /// Energy into the bank it charges, Wh.
        wh,
        /// The same as charge, Ah.
        ah,
        /// Energy out of the bank that feeds it, Wh.
        in_wh,
        /// Hours in which it could work.
        open_h,
        /// Hours in which it gave all it can.
        full_h,
        /// Hours in which its input voltage was too low.
        starved_h,
        /// Charge that the alternator could not give it, Ah.
        denied_ah,
    }
}

sums! {
    /// One load.
    LoadTotals {
        /// Energy that it got, Wh.
        wh,
        /// The same as charge, Ah.
        ah,
        /// What it asked for, supplied or not, Wh.
        asked_wh,
        /// The same as charge, Ah.
        asked_ah,
        /// Of `wh`, what it got as power: the charge of that is known at the end.
        power_wh,
        /// The same of `asked_wh`.
        asked_power_wh,
        /// Hours in which it was live; events apart.
        live_h,
        /// Hours in which its compressor ran.
        run_h,
    }
}

sums! {
    /// One panel.
    PanelTotals {
        /// Energy into its bank, Wh.
        wh,
        /// The same as charge, Ah.
        ah,
    }
}

/// Sums over the trials in use.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Totals {
    /// Hours.
    pub hours: f64,
    /// Hours driven.
    pub driven_h: f64,
    /// Loads in file order.
    pub loads: Vec<LoadTotals>,
    /// Chargers.
    pub chargers: Vec<ChargerTotals>,
    /// Panels.
    pub panels: Vec<PanelTotals>,
    /// Banks.
    pub banks: Vec<Ledger>,
}

impl Totals {
    /// Turns energy into charge where it was not booked as such, at the mean voltages at which banks gave
    /// and took over the whole plan.
    pub(super) fn close(&mut self, plant: &Plant, out_v: &[f64], in_v: &[f64]) {
        for (load, of) in self.loads.iter_mut().zip(&plant.loads) {
            load.ah += load.power_wh / out_v[of.bank];
            load.asked_ah += load.asked_power_wh / out_v[of.bank];
        }
        for (panel, of) in self.panels.iter_mut().zip(&plant.panels) {
            panel.ah = panel.wh / in_v[of.to];
        }
    }

    /// Adds `factor` times another; of the two, one may be of nothing yet.
    pub(crate) fn add(&mut self, other: &Self, factor: f64) {
        self.hours += factor * other.hours;
        self.driven_h += factor * other.driven_h;
        for (sum, part) in pairs(&mut self.loads, &other.loads) {
            sum.add(part, factor);
        }
        for (sum, part) in pairs(&mut self.chargers, &other.chargers) {
            sum.add(part, factor);
        }
        for (sum, part) in pairs(&mut self.panels, &other.panels) {
            sum.add(part, factor);
        }
        for (sum, part) in pairs(&mut self.banks, &other.banks) {
            sum.add(part, factor);
        }
    }
}

fn pairs<'a, T: Clone + Default>(
    sums: &'a mut Vec<T>,
    parts: &'a [T],
) -> impl Iterator<Item = (&'a mut T, &'a T)> {
    sums.resize(sums.len().max(parts.len()), T::default());
    sums.iter_mut().zip(parts)
}
