//! Reduces Rust text to what the compiler acts on: no comments, no text inside strings, no tests.

/// The same text with comments, string contents and character literals blanked out. Line breaks
/// stay, so line numbers still fit.
///
/// ```
/// let code = tidy::source::code("let a = 1; // not 2\nlet b = \"3 apples\";");
/// assert_eq!(code, "let a = 1;         \nlet b = \"        \";");
/// ```
#[must_use]
pub fn code(text: &str) -> String {
    let chars: Vec<char> = text.chars().collect();
    let mut out = String::with_capacity(text.len());
    let mut at = 0;
    let blank = |c: char| if c == '\n' { '\n' } else { ' ' };
    while at < chars.len() {
        let rest = &chars[at..];
        if rest.starts_with(&['/', '/']) {
            while at < chars.len() && chars[at] != '\n' {
                out.push(' ');
                at += 1;
            }
        } else if rest.starts_with(&['/', '*']) {
            let mut depth = 0;
            while at < chars.len() {
                let step = match chars.get(at..at + 2) {
                    Some(['/', '*']) => {
                        depth += 1;
                        2
                    }
                    Some(['*', '/']) => {
                        depth -= 1;
                        2
                    }
                    _ => 1,
                };
                for c in &chars[at..at + step] {
                    out.push(blank(*c));
                }
                at += step;
                if depth == 0 {
                    break;
                }
            }
        } else if let Some(hashes) = raw_string(&chars, at) {
            let quote: String = std::iter::once('"').chain("#".repeat(hashes).chars()).collect();
            let open = at + 2 + hashes;
            let tail: String = chars[open.min(chars.len())..].iter().collect();
            let inside = tail.find(&quote).map_or(tail.chars().count(), |byte| tail[..byte].chars().count());
            out.push('"');
            out.extend(chars[open..open + inside].iter().map(|c| blank(*c)));
            out.push('"');
            at = (open + inside + 1 + hashes).min(chars.len());
        } else if chars[at] == '"' {
            out.push('"');
            at += 1;
            while at < chars.len() && chars[at] != '"' {
                let step = if chars[at] == '\\' { 2 } else { 1 };
                for c in chars.iter().skip(at).take(step) {
                    out.push(blank(*c));
                }
                at += step;
            }
            out.push('"');
            at += 1;
        } else if chars[at] == '\'' && chars.get(at + 1) == Some(&'\\') {
            out.push_str("' ");
            at += 2;
            while at < chars.len() && (chars[at] != '\'' || chars[at - 1] == '\\' && chars[at - 2] != '\\') {
                out.push(' ');
                at += 1;
            }
            out.push('\'');
            at += 1;
        } else if chars[at] == '\'' && chars.get(at + 2) == Some(&'\'') {
            out.push_str("' '");
            at += 3;
        } else {
            out.push(chars[at]);
            at += 1;
        }
    }
    out
}

/// How many `#` open a raw string here, if one does.
fn raw_string(chars: &[char], at: usize) -> Option<usize> {
    let word_before = at > 0 && (chars[at - 1].is_alphanumeric() || chars[at - 1] == '_');
    if chars[at] != 'r' || (word_before && chars[at - 1] != 'b') {
        return None;
    }
    let hashes = chars[at + 1..].iter().take_while(|c| **c == '#').count();
    (chars.get(at + 1 + hashes) == Some(&'"')).then_some(hashes)
}

/// What [`code`] gives, with every item behind `#[cfg(test)]` blanked out as well.
///
/// ```
/// let text = "fn a() {}\n#[cfg(test)]\nmod tests { fn b() { if x {} } }\nfn c() {}";
/// let left = tidy::source::shipped(text);
/// assert!(left.contains("fn a()") && left.contains("fn c()") && !left.contains("fn b()"));
/// ```
#[must_use]
pub fn shipped(text: &str) -> String {
    let mut left = code(text);
    while let Some(start) = left.find("#[cfg(test)]") {
        let mut depth = 0_usize;
        let mut end = left.len();
        for (index, c) in left[start..].char_indices() {
            match c {
                '{' => depth += 1,
                '}' if depth == 1 => {
                    end = start + index + 1;
                    break;
                }
                '}' => depth -= 1,
                ';' if depth == 0 => {
                    end = start + index + 1;
                    break;
                }
                _ => {}
            }
        }
        let gone: String = left[start..end].chars().map(|c| if c == '\n' { '\n' } else { ' ' }).collect();
        left.replace_range(start..end, &gone);
    }
    left
}

/// The number of the line that a byte lies in, counted from one.
#[must_use]
pub fn line_of(text: &str, byte: usize) -> usize {
    text[..byte].matches('\n').count() + 1
}

/// Whether `word` stands in the code as a whole word (a path such as `std::fs` counts as one).
#[must_use]
pub fn find_word(code: &str, word: &str) -> Option<usize> {
    let part_of_word = |c: char| c.is_alphanumeric() || c == '_';
    code.match_indices(word).map(|(at, _)| at).find(|at| {
        let before = code[..*at].chars().next_back();
        let after = code[at + word.len()..].chars().next();
        let longer_before = before.is_some_and(part_of_word);
        let longer_after = word.ends_with(part_of_word) && after.is_some_and(part_of_word);
        !longer_before && !longer_after
    })
}

#[cfg(test)]
mod tests {
    use super::{code, find_word, shipped};

    #[test]
    fn strings_characters_and_comments_are_not_code() {
        let text = r####"let a = 'x'; let b: &'static str = r#"std::fs "quoted""#; /* 7 /* 8 */ 9 */ let c = '\''; // 5
let d = "6 \" 7"; f(1)"####;
        let left = code(text);
        assert!(!left.contains("std::fs") && left.contains("'static") && left.contains("f(1)"), "{left}");
        for digit in ["5", "6", "7", "8", "9"] {
            assert!(!left.contains(digit), "{digit} in {left}");
        }
        assert_eq!(left.matches('\n').count(), 1);
    }

    #[test]
    fn a_test_only_import_is_cut_at_its_semicolon() {
        let left = shipped("#[cfg(test)]\nuse std::fs;\nfn kept() {}");
        assert!(!left.contains("std::fs") && left.contains("kept"), "{left}");
    }

    #[test]
    fn a_word_inside_another_is_not_that_word() {
        assert!(find_word("let brand = 1;", "rand").is_none());
        assert!(find_word("use rand::rng;", "rand").is_some());
        assert!(find_word("std::fs::read()", "std::fs").is_some());
    }
}
