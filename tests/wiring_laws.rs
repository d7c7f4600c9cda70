//! Laws of sizing a run, over any demand.
//!
//! One job: more asked never gives less copper; the fuse window and the drop always hold.

use proptest::prelude::*;
use tideover::scenario::Insulation;
use tideover::wiring::ampacity::Surroundings;
use tideover::wiring::conductors::Series;
use tideover::wiring::fuse_times::{Surge, bears_s};
use tideover::wiring::fuses::Duty;
use tideover::wiring::sizing::{RunDemand, size_run};

fn any_demand() -> impl Strategy<Value = RunDemand> {
    let duty = prop_oneof![
        Just(Duty::BehindMain),
        (500.0..20_000.0, any::<bool>()).prop_map(|(breaking_a, lithium)| Duty::AtSource {
            breaking_a,
            lithium
        }),
    ];
    let around = (0..7_usize, -20.0..90.0, any::<bool>(), 0..30_u32).prop_map(
        |(rating, ambient_c, engine_space, bundled)| Surroundings {
            insulation: Insulation::new(Insulation::ALL[rating]).expect("a rating"),
            ambient_c,
            engine_space,
            bundled,
        },
    );
    (
        0.1..320.0,
        0.2..30.0,
        0.05..2.4,
        around,
        duty,
        prop_oneof![Just(12.0), Just(24.0)],
    )
        .prop_map(
            |(current_a, one_way_m, allowed_drop_v, around, duty, system_voltage_v)| RunDemand {
                current_a,
                one_way_m,
                allowed_drop_v,
                around,
                duty,
                system_voltage_v,
                fuse_a: None,
                is_makers_fuse: false,
                surges: Vec::new(),
                series: Series::Metric,
            },
        )
}

/// `None` is no single conductor: larger than all.
fn size(demand: &RunDemand) -> f64 {
    size_run(demand).area_mm2.unwrap_or(f64::INFINITY)
}

proptest! {
    #[test]
    fn law_more_asked_never_gives_a_smaller_conductor(demand in any_demand(), more in 1.0..3.0_f64) {
        let least = size(&demand);
        let hotter = Surroundings { ambient_c: demand.around.ambient_c + 10.0 * more, ..demand.around };
        let fuller = Surroundings { bundled: demand.around.bundled + 3, ..demand.around };
        let harder = [
            RunDemand { current_a: demand.current_a * more, ..demand.clone() },
            RunDemand { one_way_m: demand.one_way_m * more, ..demand.clone() },
            RunDemand { allowed_drop_v: demand.allowed_drop_v / more, ..demand.clone() },
            RunDemand { around: hotter, ..demand.clone() },
            RunDemand { around: fuller, ..demand.clone() },
            RunDemand { surges: vec![Surge { current_a: demand.current_a * 2.0 * more, seconds: 0.2 }], ..demand.clone() },
        ];
        for one in &harder {
            let needed = size(one);
            prop_assert!(needed >= least, "{:?} takes {} mm², {:?} took {}", one, needed, demand, least);
        }
    }

    #[test]
    fn law_a_fuse_bears_what_starts_and_the_conductor_keeps_its_drop(
        demand in any_demand(),
        times in 1.0..6.0_f64,
        seconds in 0.02..60.0_f64,
        is_awg in any::<bool>(),
    ) {
        let surge = Surge { current_a: demand.current_a * times, seconds };
        let series = if is_awg { Series::Awg } else { Series::Metric };
        let demand = RunDemand { surges: vec![surge], series, ..demand };
        let sizing = size_run(&demand);
        if let (Some(area), Some(fuse)) = (sizing.area_mm2, sizing.fuse) {
            prop_assert!(bears_s(fuse.kind, surge.current_a / fuse.rating_a) >= seconds, "{:?}", fuse);
            prop_assert!(demand.start_drop_v(area, surge) <= demand.allowed_start_drop_v() + 1e-9);
            prop_assert!(series.areas_mm2().iter().any(|size| (size - area).abs() < 1e-9));
        }
    }

    #[test]
    fn law_the_fuse_window_and_the_drop_always_hold(demand in any_demand()) {
        let sizing = size_run(&demand);
        if let (Some(area), Some(fuse)) = (sizing.area_mm2, sizing.fuse) {
            let carries = demand.around.ampacity_a(area).expect("in the table");
            prop_assert!(fuse.rating_a >= 1.25 * demand.current_a - 1e-9);
            prop_assert!(fuse.rating_a <= carries + 1e-9, "{} A on {} mm²", fuse.rating_a, area);
            prop_assert!(demand.drop_v(area) <= demand.allowed_drop_v + 1e-9);
            prop_assert!(demand.conductor_c(area) <= f64::from(demand.around.insulation.rating_c()) + 1e-9);
        }
    }
}
