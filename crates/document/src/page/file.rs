//! The file of the page: template, style, script and data in one, with a policy that forbids every request.

use serde_json::Value;
use sha2::{Digest, Sha256};

use crate::language::{Language, words};

const TEMPLATE: &str = include_str!("../../../../assets/practice/page.html");
const STYLE: &str = include_str!("../../../../assets/practice/page.css");
const REGULAR: &[u8] = include_bytes!("../../../../assets/fonts/AtkinsonHyperlegibleNext_400Regular.ttf");
const BOLD: &[u8] = include_bytes!("../../../../assets/fonts/AtkinsonHyperlegibleNext_700Bold.ttf");
const WORKER: &str = include_str!("../../../../assets/practice/sw.js");

/// In the order in which they need one another.
const SCRIPTS: [&str; 11] = [
    include_str!("../../../../assets/practice/code.js"),
    include_str!("../../../../assets/practice/qr.js"),
    include_str!("../../../../assets/practice/dom.js"),
    include_str!("../../../../assets/practice/order.js"),
    include_str!("../../../../assets/practice/rule.js"),
    include_str!("../../../../assets/practice/plan.js"),
    include_str!("../../../../assets/practice/keep.js"),
    include_str!("../../../../assets/practice/cue.js"),
    include_str!("../../../../assets/practice/floor.js"),
    include_str!("../../../../assets/practice/views.js"),
    concat!(
        include_str!("../../../../assets/practice/run.js"),
        include_str!("../../../../assets/practice/page.js")
    ),
];
const START: &str = include_str!("../../../../assets/practice/start.js");
const START_SITE: &str = include_str!("../../../../assets/practice/start-site.js");

/// Every script, for tests.
#[cfg(test)]
pub(super) fn scripts() -> String {
    [SCRIPTS.concat(), START.to_owned(), START_SITE.to_owned()].concat()
}

/// What goes into the template.
pub(super) struct Parts<'a> {
    pub language: Language,
    pub title: &'a str,
    /// Each under the id of its element.
    pub data: &'a [(&'a str, Value)],
    /// Whether it is served as a site, with a worker that keeps it for days without a network.
    pub site: bool,
}

/// The whole file. The same parts give the same bytes.
pub(super) fn html(parts: &Parts<'_>) -> String {
    let style = format!("{}{STYLE}", faces());
    let script = SCRIPTS.concat() + if parts.site { START_SITE } else { START };
    let data: String = parts
        .data
        .iter()
        .map(|(id, value)| {
            format!("<script type=\"application/json\" id=\"{id}\">{}</script>\n", inert(&value.to_string()))
        })
        .collect();
    let head = if parts.site { "<link rel=\"manifest\" href=\"manifest.webmanifest\">\n" } else { "" };
    fill(
        TEMPLATE,
        &[
            ("lang", parts.language.code()),
            ("policy", &policy(&style, &script, parts.site)),
            ("head", head),
            ("title", &escape(parts.title)),
            ("style", &style),
            ("noscript", &escape(words(parts.language).page.of("no_script"))),
            ("data", &data),
            ("script", &script),
        ],
    )
}

/// The worker of a site, named after what it keeps: another page is another name.
pub(super) fn worker(html: &str) -> String {
    WORKER.replace("{{version}}", &hex(&Sha256::digest(html)[..8]))
}

/// Puts values at their places, each once, in one walk: what was put in is not looked at again.
fn fill(template: &str, values: &[(&str, &str)]) -> String {
    let mut out = String::with_capacity(template.len() + values.iter().map(|(_, v)| v.len()).sum::<usize>());
    let mut rest = template;
    while let Some((before, after)) = rest.split_once("{{") {
        out.push_str(before);
        let (name, behind) = after.split_once("}}").unwrap_or((after, ""));
        out.push_str(values.iter().find(|(known, _)| *known == name).map_or("", |(_, value)| *value));
        rest = behind;
    }
    out.push_str(rest);
    out
}

fn policy(style: &str, script: &str, site: bool) -> String {
    let hash = |text: &str| format!("'sha256-{}'", base64(&Sha256::digest(text)));
    let more = if site {
        "; worker-src 'self'; manifest-src 'self'; img-src 'self' data:"
    } else {
        "; img-src data:"
    };
    format!(
        "default-src 'none'; script-src {}; style-src {}; font-src data:; base-uri 'none'; form-action 'none'{more}",
        hash(script),
        hash(style)
    )
}

fn faces() -> String {
    [(400, REGULAR), (700, BOLD)]
        .map(|(weight, bytes)| {
            format!(
                "@font-face{{font-family:\"Atkinson Hyperlegible Next\";font-weight:{weight};src:url(data:font/ttf;base64,{})format(\"truetype\")}}\n",
                base64(bytes)
            )
        })
        .concat()
}

/// JSON that cannot end its element or begin another.
fn inert(json: &str) -> String {
    json.replace('<', "\\u003c").replace('>', "\\u003e").replace('&', "\\u0026")
}

fn escape(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

/// The mark of a programme: sixteen hexadecimal digits that tell it from others.
pub(super) fn mark(practised: &Value) -> String {
    hex(&Sha256::digest(practised.to_string())[..8])
}

/// Two hexadecimal digits for each byte.
pub(super) fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// Base 64 with filling, as RFC 4648 describes it.
pub(super) fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut out = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for three in bytes.chunks(3) {
        let byte = |at: usize| u32::from(three.get(at).copied().unwrap_or(0));
        let all = byte(0) << 16 | byte(1) << 8 | byte(2);
        for place in 0..4_usize {
            let letter = LETTERS[(all >> (18 - 6 * place) & 63) as usize];
            out.push(if place <= three.len() { char::from(letter) } else { '=' });
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn base_64_of_the_examples_of_rfc_4648() {
        for (plain, coded) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("foobar", "Zm9vYmFy"),
        ] {
            assert_eq!(base64(plain.as_bytes()), coded);
        }
    }

    #[test]
    fn what_a_name_says_cannot_become_markup() {
        assert_eq!(inert("\"</script><b>&\""), "\"\\u003c/script\\u003e\\u003cb\\u003e\\u0026\"");
        assert_eq!(fill("a{{x}}b{{y}}", &[("x", "{{y}}"), ("y", "1")]), "a{{y}}b1");
    }
}
