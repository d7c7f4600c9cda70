//! Which loads the hours of a log tell apart.
//!
//! One job: what the hours of each load have of their own beside a constant and the other loads.

/// Below it a load's hours are those of the standing load, or of another load.
const OWN_SHARE: f64 = 0.04;

/// Which loads the hours tell apart.
pub(super) struct Told {
    /// Loads that are on in all the hours, as a standing load is.
    pub(super) taken: Vec<usize>,
    /// Each with hours of its own; several: with the same hours.
    pub(super) groups: Vec<Vec<usize>>,
}

/// Sorts loads by what their hours have of their own: what is left of each beside a constant and the loads
/// before it, the largest first.
pub(super) fn told_apart(columns: &[Vec<f64>], hours: &[f64]) -> Told {
    let product = |a: &[f64], b: &[f64]| -> f64 {
        let each = a.iter().zip(b).zip(hours);
        each.map(|((a, b), hours)| a * b * hours).sum()
    };
    let less = |from: &[f64], other: &[f64]| -> Vec<f64> {
        let share = product(from, other) / product(other, other).max(1e-12);
        from.iter().zip(other).map(|(a, b)| a - share * b).collect()
    };
    let ones = vec![1.0; hours.len()];
    let mut order: Vec<usize> = (0..columns.len()).collect();
    order.sort_by(|&a, &b| {
        product(&columns[b], &columns[b]).total_cmp(&product(&columns[a], &columns[a]))
    });
    let mut told = Told {
        taken: Vec::new(),
        groups: Vec::new(),
    };
    let mut basis: Vec<Vec<f64>> = Vec::new();
    for column in order {
        let whole = product(&columns[column], &columns[column]);
        if whole < 1e-6 {
            continue;
        }
        let varying = less(&columns[column], &ones);
        let varies = product(&varying, &varying);
        if varies < OWN_SHARE * whole {
            told.taken.push(column);
            continue;
        }
        let own = basis
            .iter()
            .fold(varying.clone(), |own, known| less(&own, known));
        if product(&own, &own) >= OWN_SHARE * varies {
            basis.push(own);
            told.groups.push(vec![column]);
            continue;
        }
        let alike = |group: &Vec<usize>| {
            let other = less(&columns[group[0]], &ones);
            product(&varying, &other) / (varies * product(&other, &other)).sqrt().max(1e-12)
        };
        let groups = told.groups.iter_mut();
        if let Some(group) = groups.max_by(|a, b| alike(a).total_cmp(&alike(b))) {
            group.push(column);
        }
    }
    told
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn loads_with_the_same_hours_are_one() {
        let hours = vec![1.0; 6];
        let always = vec![0.5; 6];
        let evening = vec![1.0, 0.0, 0.0, 1.0, 0.0, 0.0];
        let late = vec![0.3, 0.3, 0.0, 0.3, 0.3, 0.0];
        let twin: Vec<f64> = evening.iter().map(|amps| 0.4 * amps).collect();
        let told = told_apart(&[always, evening, late, twin], &hours);
        assert_eq!(told.taken, [0]);
        assert_eq!(told.groups, [vec![1, 3], vec![2]]);
    }
}
