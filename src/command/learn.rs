//! A battery's own log against the model.

use super::answered::{Answered, Told};
use super::{Asked, Failure};
use crate::present::charts::learn_svg;
use crate::present::plain_text::json_text;
use crate::present::tables::learn_tables;
use crate::present::words::{Screen, learn_verdict};
use crate::study::learning::{LearnQuestion, learn as learn_study};
use crate::study::settings::Settings;

pub(super) fn learn(
    question: &LearnQuestion,
    asked: &Asked<'_>,
    settings: &Settings,
) -> Result<Answered, Failure> {
    let (answer, right) = learn_study(asked.scenario, settings, question, asked.progress)?;
    let told = Told {
        from: None,
        ..Told::new(asked, Screen::Learn, &answer.heading, &answer.warnings)
    };
    let mut answered = told.answered(learn_verdict(&answer), learn_tables(&answer), &answer)?;
    answered.put_right = Some(json_text(right.as_json()).map_err(Failure::Json)?);
    if asked.with_files {
        answered.add("learn.svg", learn_svg(&answer));
        answered.add_json("learn.json");
    }
    Ok(answered)
}
