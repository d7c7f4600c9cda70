//! What a log says of the file.
//!
//! One job: the verdict, the measured charge on the predicted band, what was found, what is not told and
//! the days. Words and rows are those of `learn`.

use super::parts::{Passage, Section};
use crate::present::charts::{LEARN_LEGEND, learn_svg};
use crate::present::tables::{learn_tables_of, log_lines};
use crate::present::words::learn_verdict::learn_sentences;
use crate::study::report::{ReportAnswer, ReportPart};

/// The section; `None` without a log.
pub(super) fn section(answer: &ReportAnswer) -> Option<Section> {
    let learned = answer.learned.as_ref()?;
    let sentences = learn_sentences(learned);
    let (first, others) = sentences.split_first()?;
    let mut parts = vec![
        Passage::verdict(first),
        Passage::list(others),
        Passage::figure(
            "The log on what was predicted.",
            LEARN_LEGEND,
            learn_svg(learned),
        ),
    ];
    let tables = learn_tables_of(learned).into_iter();
    parts.extend(tables.map(Passage::from));
    parts.push(Passage::sub("log-read", "How the log was read"));
    parts.push(Passage::list(log_lines(learned)));
    Some(Section {
        id: ReportPart::Log.id(),
        title: "Your own log against the file",
        parts,
    })
}
