//! Laws of sizing a run, over any demand.
//!
//! One job: more asked never gives less copper; the fuse window and the drop always hold.

use proptest::prelude::*;
use tideover::scenario::Insulation;
use tideover::wiring::ampacity::Surroundings;
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
            RunDemand { current_a: demand.current_a * more, ..demand },
            RunDemand { one_way_m: demand.one_way_m * more, ..demand },
            RunDemand { allowed_drop_v: demand.allowed_drop_v / more, ..demand },
            RunDemand { around: hotter, ..demand },
            RunDemand { around: fuller, ..demand },
        ];
        for one in &harder {
            let needed = size(one);
            prop_assert!(needed >= least, "{:?} takes {} mm², {:?} took {}", one, needed, demand, least);
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
