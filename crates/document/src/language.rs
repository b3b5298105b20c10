//! STUB until the branch `paper` lands.
use std::sync::LazyLock;
use anatomy::Side;
use jiff::civil::Date;
use serde::Deserialize;
/// L
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum Language { En, Fr, Es }
impl Language {
    /// A
    pub const ALL: [Self; 3] = [Self::En, Self::Fr, Self::Es];
    /// c
    #[must_use]
    pub fn code(self) -> &'static str { match self { Self::En => "en", Self::Fr => "fr", Self::Es => "es" } }
}
/// b
#[derive(Clone, Debug, Deserialize)]
#[allow(missing_docs)]
pub struct BySide { pub left: String, pub right: String }
impl BySide {
    /// o
    #[must_use]
    pub fn of(&self, side: Side) -> &str { match side { Side::Left => &self.left, Side::Right => &self.right } }
}
/// c
#[derive(Clone, Debug, Deserialize)]
#[allow(missing_docs)]
pub struct Counted { pub one: String, pub many: String }
impl Counted {
    /// o
    #[must_use]
    pub fn of(&self, n: usize) -> &str { if n == 1 { &self.one } else { &self.many } }
}
/// n
#[allow(missing_docs)]
pub struct Names { pub months: Vec<&'static str>, pub date: &'static str, pub first: &'static str, pub decimal: String, pub and: &'static str, pub foot_letter: BySide }
/// w
#[allow(missing_docs)]
pub struct Words { pub names: Names }
fn names(l: Language) -> Names {
    let f = |a: &str, b: &str| BySide { left: a.into(), right: b.into() };
    match l {
        Language::En => Names { months: "January February March April May June July August September October November December".split(' ').collect(), date: "{day} {month} {year}", first: "1", decimal: ".".into(), and: "and", foot_letter: f("L", "R") },
        Language::Fr => Names { months: "janvier février mars avril mai juin juillet août septembre octobre novembre décembre".split(' ').collect(), date: "{day} {month} {year}", first: "1er", decimal: ",".into(), and: "et", foot_letter: f("G", "D") },
        Language::Es => Names { months: "enero febrero marzo abril mayo junio julio agosto septiembre octubre noviembre diciembre".split(' ').collect(), date: "{day} de {month} de {year}", first: "1", decimal: ",".into(), and: "y", foot_letter: f("I", "D") },
    }
}
/// w
#[must_use]
pub fn words(l: Language) -> &'static Words {
    static ALL: LazyLock<[Words; 3]> = LazyLock::new(|| Language::ALL.map(|l| Words { names: names(l) }));
    &ALL[l as usize]
}
/// f
#[must_use]
pub fn fill(sentence: &str, values: &[(&str, &str)]) -> String {
    let mut out = sentence.to_owned();
    for (name, value) in values { out = out.replace(&format!("{{{name}}}"), value); }
    out
}
impl Words {
    /// d
    #[must_use]
    pub fn date(&self, date: Date) -> String {
        let day = if date.day() == 1 { self.names.first.to_owned() } else { date.day().to_string() };
        fill(self.names.date, &[("day", &day), ("month", self.names.months[date.month() as usize - 1]), ("year", &date.year().to_string())])
    }
    /// l
    #[must_use]
    pub fn list(&self, parts: &[String]) -> String {
        match parts { [] => String::new(), [one] => one.clone(), [first @ .., end] => format!("{} {} {end}", first.join(", "), self.names.and) }
    }
}
