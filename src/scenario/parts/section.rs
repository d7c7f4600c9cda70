//! Keys of the file, each declared once.
//!
//! One job: from one line a key (what it is, its name with its unit, its range, what holds where it is left out and
//! why) to the type that mirrors the file, and with it the schema; to the checked type; and to the reading of the
//! one into the other, which writes down what was assumed. Rules between keys are `scenario::check`'s.
//!
//! ```text
//! /// Output at idle, cold.
//! idle_a: f64 [0 to 2000] or (0.5 * rated_a, "half of the rating at idle (from memory: 0.4 to 0.6)");
//! ```
//!
//! In brackets stands what is allowed: `0 to 1`, `above 0 to 1`, `0 to below 1`, `above 0, below 1`, `1 to 9 long`,
//! `one of 12, 24`, `id`, or nothing where the type says it. After it:
//!
//! | words | the file | the checked type |
//! | --- | --- | --- |
//! | `;` | may have it | a rule reads it |
//! | `must;` | must have it | a rule reads it |
//! | `must else x;` | must have it | has it; `x` stands in until the problem is told |
//! | `may;` | may have it | has an `Option` |
//! | `or (x, "why");` | may have it | has it or `x`, which is told |
//! | `spread or (x, "why");` | may have it | has a spread, as above |
//! | `quiet x;` | may have it | has it or `x`, which is not worth telling |
//! | `is T = x;` | may have it | has `x`, made of it; `must is T = x;` where the file must |
//! | `ask or (x, "why");` | may have it | a rule asks the method of its name, which tells `x`; `ask(a: T) or` with arguments |
//!
//! `own name: T = x;` is in the checked type alone, and `read name: T [] or (x, "why");` reads a key that stands
//! further up once what it depends on is known. `for ["duty"]` after the brackets names the kinds a key belongs to;
//! others refuse it. Expressions see the keys before them and the arguments of the section.

/// What a file says of keys that belong to certain kinds alone.
pub(in crate::scenario) trait Kinds {
    /// Key, whether it is given, the kinds it belongs to.
    fn of_kinds(&self) -> Vec<(&'static str, bool, &'static [&'static str])>;
}

/// The JSON pointer of a key.
pub(in crate::scenario) fn key(path: &str, name: &str) -> String {
    format!("{path}/{name}")
}

macro_rules! section {
    // All keys are taken apart.
    (@keys [$h:tt $ff:tt $cf:tt $b:tt $l:tt $k:tt]) => { section!(@made $h $ff $cf $b $l $k); };
    // A field of the checked type alone.
    (@keys [$h:tt $ff:tt {$($cf:tt)*} {$($b:tt)*} $l:tt $k:tt]
        $(#[$m:meta])* own $name:ident: $ty:ty = $e:expr; $($rest:tt)*) => {
        section!(@keys [$h $ff {$($cf)* $(#[$m])* pub $name: $ty,} {$($b)* [$name value () $e]} $l $k] $($rest)*);
    };
    (@keys [$h:tt $ff:tt {$($cf:tt)*} {$($b:tt)*} $l:tt $k:tt]
        $(#[$m:meta])* read $name:ident $(($word:literal))?: $ty:ty [] or $e:expr; $($rest:tt)*) => {
        section!(@keys [$h $ff {$($cf)* $(#[$m])* pub $name: $ty,} {$($b)* [$name or ($($word)?) $e]} $l $k] $($rest)*);
    };
    // A key: first what is allowed, as attributes of the file's type.
    (@keys $s:tt $(#[$m:meta])* $name:ident: $ty:ty [$($lim:tt)*] $($rest:tt)*) => {
        section!(@lim $s {$(#[$m])*} {} $name () $ty [$($lim)*] $($rest)*);
    };
    (@keys $s:tt $(#[$m:meta])* $name:ident ($word:literal): $ty:ty [$($lim:tt)*] $($rest:tt)*) => {
        section!(@lim $s {$(#[$m])*} {#[serde(rename = $word)]} $name ($word) $ty [$($lim)*] $($rest)*);
    };
    (@lim $s:tt $d:tt {$($a:tt)*} $n:ident $w:tt $ty:ty [] $($rest:tt)*) => {
        section!(@how $s $d {$($a)*} $n $w $ty {$($rest)*});
    };
    (@lim $s:tt $d:tt {$($a:tt)*} $n:ident $w:tt $ty:ty [id] $($rest:tt)*) => {
        section!(@how $s $d {$($a)* #[schemars(regex(pattern = "^[A-Za-z0-9_-]{1,60}$"))]} $n $w $ty {$($rest)*});
    };
    (@lim $s:tt $d:tt {$($a:tt)*} $n:ident $w:tt $ty:ty [$min:literal to $max:literal] $($rest:tt)*) => {
        section!(@how $s $d {$($a)* #[schemars(range(min = $min, max = $max))]} $n $w $ty {$($rest)*});
    };
    (@lim $s:tt $d:tt {$($a:tt)*} $n:ident $w:tt $ty:ty [above $min:literal to $max:literal] $($rest:tt)*) => {
        section!(@how $s $d {$($a)* #[schemars(range(max = $max), extend("exclusiveMinimum" = $min))]} $n $w $ty {$($rest)*});
    };
    (@lim $s:tt $d:tt {$($a:tt)*} $n:ident $w:tt $ty:ty [$min:literal to below $max:literal] $($rest:tt)*) => {
        section!(@how $s $d {$($a)* #[schemars(range(min = $min), extend("exclusiveMaximum" = $max))]} $n $w $ty {$($rest)*});
    };
    (@lim $s:tt $d:tt {$($a:tt)*} $n:ident $w:tt $ty:ty [above $min:literal, below $max:literal] $($rest:tt)*) => {
        section!(@how $s $d {$($a)* #[schemars(extend("exclusiveMinimum" = $min, "exclusiveMaximum" = $max))]} $n $w $ty {$($rest)*});
    };
    (@lim $s:tt $d:tt {$($a:tt)*} $n:ident $w:tt $ty:ty [to $max:literal long] $($rest:tt)*) => {
        section!(@how $s $d {$($a)* #[schemars(length(max = $max))]} $n $w $ty {$($rest)*});
    };
    (@lim $s:tt $d:tt {$($a:tt)*} $n:ident $w:tt $ty:ty [$min:literal to $max:literal long $(, each $least:literal to $most:literal)?] $($rest:tt)*) => {
        section!(@how $s $d {$($a)* #[schemars(length(min = $min, max = $max) $(, inner(range(min = $least, max = $most)))?)]} $n $w $ty {$($rest)*});
    };
    (@lim $s:tt $d:tt {$($a:tt)*} $n:ident $w:tt $ty:ty [one of $($v:literal),*] $($rest:tt)*) => {
        section!(@how $s $d {$($a)* #[schemars(extend("enum" = [$($v),*]))]} $n $w $ty {$($rest)*});
    };
    // Then the kinds it belongs to.
    (@how [$h:tt $ff:tt $cf:tt $b:tt $l:tt {$($k:tt)*}] $d:tt $a:tt $n:ident $w:tt $ty:ty {for $kinds:tt $($rest:tt)*}) => {
        section!(@how [$h $ff $cf $b $l {$($k)* [$n $w $kinds]}] $d $a $n $w $ty {$($rest)*});
    };
    // Then what the checked type has of it.
    (@how [$h:tt {$($ff:tt)*} $cf:tt $b:tt $l:tt $k:tt] {$($d:tt)*} {$($a:tt)*} $n:ident $w:tt $ty:ty {; $($rest:tt)*}) => {
        section!(@keys [$h {$($ff)* $($d)* $($a)* pub(in crate::scenario) $n: Option<$ty>,} $cf $b $l $k] $($rest)*);
    };
    (@how $s:tt $d:tt {$($a:tt)*} $n:ident $w:tt $ty:ty {must; $($rest:tt)*}) => {
        section!(@how $s $d {#[schemars(required)] $($a)*} $n $w $ty {; $($rest)*});
    };
    (@how $s:tt $d:tt {$($a:tt)*} $n:ident $w:tt $ty:ty {must ask or $e:expr; $($rest:tt)*}) => {
        section!(@how $s $d {#[schemars(required)] $($a)*} $n $w $ty {ask or $e; $($rest)*});
    };
    (@how $s:tt $d:tt {$($a:tt)*} $n:ident $w:tt $ty:ty {must else $e:expr; $($rest:tt)*}) => {
        section!(@how $s $d {#[schemars(required)] $($a)*} $n $w $ty {quiet $e; $($rest)*});
    };
    (@how $s:tt $d:tt {$($a:tt)*} $n:ident $w:tt $ty:ty {must is $cty:ty = $e:expr; $($rest:tt)*}) => {
        section!(@how $s $d {#[schemars(required)] $($a)*} $n $w $ty {is $cty = $e; $($rest)*});
    };
    (@how $s:tt $d:tt $a:tt $n:ident $w:tt $ty:ty {is $cty:ty = $e:expr; $($rest:tt)*}) => {
        section!(@field $s $d $a $n $ty {$cty} [$n value $w $e] $($rest)*);
    };
    (@how $s:tt $d:tt $a:tt $n:ident $w:tt $ty:ty {may; $($rest:tt)*}) => {
        section!(@field $s $d $a $n $ty {Option<$ty>} [$n may $w ()] $($rest)*);
    };
    (@how $s:tt $d:tt $a:tt $n:ident $w:tt $ty:ty {or $e:expr; $($rest:tt)*}) => {
        section!(@field $s $d $a $n $ty {$ty} [$n or $w $e] $($rest)*);
    };
    (@how $s:tt $d:tt $a:tt $n:ident $w:tt $ty:ty {quiet $e:expr; $($rest:tt)*}) => {
        section!(@field $s $d $a $n $ty {$ty} [$n quiet $w $e] $($rest)*);
    };
    (@how $s:tt $d:tt $a:tt $n:ident $w:tt $ty:ty {spread or $e:expr; $($rest:tt)*}) => {
        section!(@field $s $d $a $n $ty {$crate::scenario::Spread} [$n spread $w $e] $($rest)*);
    };
    (@how [$h:tt $ff:tt $cf:tt $b:tt {$($l:tt)*} $k:tt] $d:tt $a:tt $n:ident $w:tt $ty:ty
        {ask $(($($arg:ident: $aty:ty),*))? or $e:expr; $($rest:tt)*}) => {
        section!(@how [$h $ff $cf $b {$($l)* [$n $w {$ty} ($($($arg: $aty),*)?) $e]} $k] $d $a $n $w $ty {; $($rest)*});
    };
    (@field [$h:tt $ff:tt {$($cf:tt)*} {$($b:tt)*} $l:tt $k:tt] {$($d:tt)*} $a:tt $n:ident $ty:ty {$cty:ty} $read:tt $($rest:tt)*) => {
        section!(@how [$h $ff {$($cf)* $($d)* pub $n: $cty,} {$($b)* $read} $l $k] {$($d)*} $a $n () $ty {; $($rest)*});
    };
    (@word $n:ident ()) => { stringify!($n) };
    (@word $n:ident ($word:literal)) => { $word };
    (@read $f:ident $p:ident $notes:ident $n:ident value $w:tt $e:expr) => { $e };
    (@read $f:ident $p:ident $notes:ident $n:ident may $w:tt $e:expr) => { $f.$n.clone() };
    (@read $f:ident $p:ident $notes:ident $n:ident quiet $w:tt $e:expr) => { $f.$n.clone().unwrap_or($e) };
    (@read $f:ident $p:ident $notes:ident $n:ident or $w:tt $e:expr) => {
        $notes.or_assumed(&$crate::scenario::parts::section::key($p, section!(@word $n $w)), $f.$n.clone(), $e)
    };
    (@read $f:ident $p:ident $notes:ident $n:ident spread $w:tt $e:expr) => {
        $notes.spread_or_assumed(&$crate::scenario::parts::section::key($p, section!(@word $n $w)), $f.$n.as_ref(), $e)
    };
    // The types and functions.
    (@made [$(#[$m:meta])* $checked:ident from $file:ident($f:ident, $p:ident, $notes:ident $(, $c:ident: $cty:ty)*)]
        $ff:tt {$($cf:tt)*} {$([$n:ident $how:ident $w:tt $e:expr])*} $l:tt $k:tt) => {
        $(#[$m])*
        #[derive(Debug, Clone, PartialEq)]
        pub struct $checked { $($cf)* }

        impl $checked {
            /// Read from the file, what it leaves out filled in and told.
            #[allow(unused_variables, clippy::clone_on_copy, clippy::too_many_lines, reason = "keys of every type")]
            pub(in crate::scenario) fn read(
                $f: &$file,
                $p: &str,
                $notes: &mut $crate::scenario::check::Findings<'_>,
                $($c: $cty),*
            ) -> Self {
                $(let $n = section!(@read $f $p $notes $n $how $w $e);)*
                Self { $($n),* }
            }
        }
        section!(@made [$(#[$m])* file $file] $ff {} {} $l $k);
    };
    (@made [$(#[$m:meta])* file $file:ident]
        {$($ff:tt)*} {} {} {$([$n:ident $w:tt {$ty:ty} ($($arg:ident: $aty:ty),*) $e:expr])*} {$([$kn:ident $kw:tt [$($kind:literal),*]])*}) => {
        $(#[$m])*
        #[derive(Debug, Clone, Default, serde::Deserialize, schemars::JsonSchema)]
        #[serde(deny_unknown_fields)]
        pub(in crate::scenario) struct $file { $($ff)* }

        #[allow(clippy::clone_on_copy, reason = "keys of every type")]
        impl $file {
            $(pub(in crate::scenario) fn $n(
                &self,
                path: &str,
                notes: &mut $crate::scenario::check::Findings<'_>,
                $($arg: $aty),*
            ) -> $ty {
                notes.or_assumed(&$crate::scenario::parts::section::key(path, section!(@word $n $w)), self.$n.clone(), $e)
            })*
        }

        impl $crate::scenario::parts::section::Kinds for $file {
            fn of_kinds(&self) -> Vec<(&'static str, bool, &'static [&'static str])> {
                vec![$((section!(@word $kn $kw), self.$kn.is_some(), &[$($kind),*])),*]
            }
        }
    };
    // How it begins; `first` are fields that stand before all others.
    ($(#[$m:meta])* $checked:ident from $file:ident $args:tt { $($keys:tt)* }) => {
        section!(@noted [$(#[$m])* $checked from $file $args] {} $($keys)*);
    };
    ($(#[$m:meta])* file $file:ident { $($keys:tt)* }) => {
        section!(@noted [$(#[$m])* file $file] {} $($keys)*);
    };
    ($(#[$m:meta])* file $file:ident first $first:tt { $($keys:tt)* }) => {
        section!(@noted [$(#[$m])* file $file] $first $($keys)*);
    };
    (@noted $h:tt {$($first:tt)*} $($keys:tt)*) => {
        section!(@keys [$h {
            $($first)*
            /// Free text for the reader; ignored.
            #[expect(dead_code, reason = "notes are accepted and ignored")]
            note: Option<serde_json::Value>,
        } {} {} {} {}] $($keys)*);
    };
}
pub(in crate::scenario) use section;

/// Words of the file, each with what it means: an enum for the schema, and its words for messages.
macro_rules! words {
    ($(#[$m:meta])* $vis:vis $name:ident { $($(#[$d:meta])* $case:ident = $word:literal,)* }) => {
        $(#[$m])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Deserialize, serde::Serialize, schemars::JsonSchema)]
        $vis enum $name {
            $($(#[$d])* #[serde(rename = $word)] $case,)*
        }

        impl $name {
            /// The word of the scenario file.
            #[must_use]
            $vis fn word(self) -> &'static str {
                match self {
                    $(Self::$case => $word,)*
                }
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(self.word())
            }
        }
    };
}
pub(in crate::scenario) use words;

#[cfg(test)]
mod tests {
    #![expect(unreachable_pub, reason = "sections are made for all to see")]

    use super::Kinds as _;
    use crate::scenario::check::Findings;
    use crate::scenario::document::scan;
    use crate::scenario::structure::check_structure;

    section! {
        /// A lamp, which no scenario has.
        Lamp from LampFile(file, path, notes, factor: f64) {
            /// Height over the table.
            height_m: f64 [above 0 to 3] for ["hanging"] or (0.4 * factor, "an arm's length");
        }
    }

    /// From the one line above come the schema, the words that refuse, the default and what is told of it.
    #[test]
    fn law_a_key_is_declared_once() {
        let schema = schemars::schema_for!(LampFile).to_value();
        let height = &schema["properties"]["height_m"];
        assert_eq!(height["description"], "Height over the table.");
        assert_eq!(
            (&height["exclusiveMinimum"], &height["maximum"]),
            (&0.into(), &3.into())
        );

        let text = r#"{ "height_m": 4, "hight_m": 1 }"#;
        let (root, _) = scan(text).expect("JSON");
        let (_, findings) = check_structure(&root, &schema);
        let texts: Vec<&str> = findings.iter().map(|it| it.fault.text.as_str()).collect();
        assert_eq!(
            texts,
            ["is 4, but must be above 0 up to 3", "is not a known key"]
        );
        assert_eq!(findings[1].meant.as_deref(), Some("height_m"));

        let mut notes = Findings::new(text, &root);
        let file = LampFile::default();
        let lamp = Lamp::read(&file, "/lamp", &mut notes, 2.0);
        assert!((lamp.height_m - 0.8).abs() < 1e-12);
        let assumed = &notes.assumed[0];
        assert_eq!(
            (assumed.path.as_str(), &*assumed.value, &*assumed.reason),
            ("/lamp/height_m", "0.8", "an arm's length")
        );
        assert_eq!(file.of_kinds(), [("height_m", false, &["hanging"][..])]);
    }
}
