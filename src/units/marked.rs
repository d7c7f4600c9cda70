//! Texts with marked places.
//!
//! One job: what stands between two marks is put in another's place, in one pass.

/// A text with what stands between `marks` filled in: what is put in is not looked at again, and what nobody knows
/// stays as it is, marks and all.
#[must_use]
pub fn filled(
    text: &str,
    (open, close): (&str, &str),
    part: &dyn Fn(&str) -> Option<String>,
) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((before, after)) = rest.split_once(open) {
        out.push_str(before);
        let found = after.split_once(close);
        let known = found.and_then(|(mark, after)| Some((part(mark)?, after)));
        if let Some((known, after)) = known {
            out.push_str(&known);
            rest = after;
        } else {
            out.push_str(open);
            rest = after;
        }
    }
    out + rest
}
