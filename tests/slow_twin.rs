//! The engine against its slow twin.
mod twin;

use tideover::engine::{Draws, Observer, Outcome, StepView, run_batch};
use tideover::scenario::{LoadKind, Scenario, read};
use tideover::timeline::Timeline;
use tideover::timeline::calendar::Plan;
use tideover::trials::Drawing;

#[derive(Default)]
struct Record {
    soc: Vec<Vec<f64>>,
    fridge_c: Vec<Vec<f64>>,
}

impl Observer for Record {
    fn after_step(&mut self, view: &StepView<'_>) {
        for (bank, samples) in self.soc.iter_mut().enumerate() {
            samples.push(view.bank(bank).0);
        }
        for (fridge, samples) in self.fridge_c.iter_mut().enumerate() {
            samples.push(view.fridge_c(fridge));
        }
    }
}

fn load(path: &std::path::Path) -> Scenario {
    let text = std::fs::read_to_string(path).expect("readable");
    let none = |_: &str| Err("no file".to_owned());
    match read(&text, "scenario.json", &none) {
        Ok(reading) => reading.scenario,
        Err(refusal) => panic!("{refusal}"),
    }
}

#[test]
fn probe() {
    for entry in std::fs::read_dir("scenarios").expect("dir") {
        let path = entry.expect("entry").path();
        if path.extension().is_none_or(|e| e != "json") { continue; }
        let scenario = load(&path);
        let began = std::time::Instant::now();
        let timeline = Timeline::new(&scenario, Plan::Trip, 5).expect("weather");
        let drawing = Drawing::new(&scenario, &timeline, 1, &[]);
        let world = twin::World::new(&scenario, &timeline, timeline.days.len());
        eprintln!("=== {} world {:?}", path.display(), began.elapsed());
        let mut all: Vec<(String, Draws)> = vec![("typical".into(), drawing.typical())];
        for k in 0..2 { all.push((format!("trial {k}"), drawing.batch(k, 1).0)); }
        for (name, draws) in all {
            let mut record = Record { soc: vec![Vec::new(); scenario.banks.len()], fridge_c: vec![Vec::new(); timeline.plant.fridges.len()] };
            let outcome: Outcome = run_batch(&timeline, &draws, &mut record);
            let began = std::time::Instant::now();
            let lived = world.live(&draws, 0, 300);
            eprintln!("-- {name} {:?} driven {:.3} {:.3} over {:.3} {:.3}", began.elapsed(), outcome.driven_h, lived.driven_h, outcome.oversubscribed_h[0], lived.oversubscribed_h);
            for (b, bank) in scenario.banks.iter().enumerate() {
                let n = lived.soc[b].len().min(record.soc[b].len());
                let (mut worst, mut at) = (0.0, 0);
                for k in 0..n { let d = record.soc[b][k] - lived.soc[b][k]; if f64::abs(d) > f64::abs(worst) { worst = d; at = k; } }
                let (mut worst2, mut at2) = (0.0f64, 0);
                for k in 0..n {
                    let mut d = record.soc[b][k] - lived.soc[b][k];
                    for (f, fridge) in timeline.plant.fridges.iter().enumerate() {
                        if fridge.bank == b {
                            let LoadKind::Fridge(spec) = scenario.loads[fridge.load].kind else { panic!() };
                            let k_more = lived.fridge_c[f][k] - record.fridge_c[f][k];
                            let cop = tideover::system::fridge::performance(spec.set_c, 25.0);
                            d += k_more * spec.contents_wh_per_k / cop * fridge.running_w / fridge.compressor_w / (bank.capacity_ah * 13.0 * scenario.voltage_factor());
                        }
                    }
                    if d.abs() > worst2.abs() { worst2 = d; at2 = k; }
                }
                let e = &outcome.banks[b].ledger; let t = &lived.accounts[b];
                eprintln!("  {:10} soc {:+.4} @{:.2}d corr {:+.4} @{:.2}d end {:.4} {:.4} short {:?} {:?} outage {} {}", bank.id, worst, at as f64/288.0, worst2, at2 as f64/288.0, outcome.banks[b].end_soc[0], lived.end_soc[b], outcome.banks[b].shortfall_s[0], lived.shortfall_s[b], outcome.banks[b].had_outage[0], lived.had_outage[b]);
                for (n, a, c) in [("in", e.in_wh, t.in_wh), ("out", e.out_wh, t.out_wh), ("loss", e.loss_wh, t.loss_wh), ("stored", e.stored_wh, t.stored_wh), ("conv", e.conversion_wh, t.conversion_wh), ("curt", e.curtailed_wh, t.curtailed_wh), ("uns", e.unserved_wh, t.unserved_wh), ("alt", e.alternator_wh, t.alternator_wh), ("stby", e.standby_wh, t.standby_wh)] {
                    eprint!(" {n} {a:.1}/{c:.1}");
                }
                eprintln!();
            }
            for (l, load) in scenario.loads.iter().enumerate() { eprint!(" {} {:.1}/{:.1}", load.id, outcome.load_wh[l], lived.load_wh[l]); }
            eprintln!();
            for (l, x) in scenario.chargers.iter().enumerate() { eprint!(" {} {:.1}/{:.1}", x.id, outcome.charger_wh[l], lived.charger_wh[l]); }
            for (l, x) in scenario.solar.iter().enumerate() { eprint!(" {} {:.1}/{:.1}", x.id, outcome.panel_wh[l], lived.panel_wh[l]); }
            eprintln!();
        }
    }
}
