//! The ways by which a log comes in.

use clinic::Standing;
use maud::{Markup, html};

use super::Way;
use crate::seat::{Seat, at};

/// Groups of a typed code, and characters in each.
const GROUPS: usize = 4;

/// All ways; a typed code that is to be mended stands in its groups again.
pub(in crate::person::home_log) fn ways(
    seat: &Seat,
    standing: &Standing,
    code: Option<(&str, bool)>,
) -> Markup {
    let action = at(standing.line.id, "home-log/came-home");
    let (code, here) = code.unwrap_or_default();
    let letters: Vec<char> = code.chars().filter(|letter| letter.is_ascii_alphanumeric()).collect();
    // More than the four groups hold stays visible in the last one.
    let group = |at: usize| -> String {
        let from = (at * GROUPS).min(letters.len());
        let to = if at + 1 == GROUPS { letters.len() } else { (from + GROUPS).min(letters.len()) };
        letters[from..to].iter().collect()
    };
    html! {
        section.came-home id="came-home" aria-labelledby="came-home-head" {
            h2 id="came-home-head" { "What came home" }
            div.both {
                div {
                    h3 { "By camera, picture or file" }
                    p.hint { "On the practice page: “Code for the clinic”. Hold the phone in front of the camera, or choose a picture of the code, the log file, or a table (CSV)." }
                    div.acts {
                        button.action type="button" id="camera-open" hidden { "Open the camera" }
                        button type="button" id="camera-stop" hidden { "Stop the camera" }
                        label.button.file id="file-way" hidden {
                            "Choose a picture or a file"
                            input.unseen type="file" id="file" accept="image/*,.txt,.json,.csv,text/plain,text/csv,application/json";
                        }
                    }
                    video id="camera" hidden muted playsinline aria-label="What the camera sees" {}
                    p id="camera-say" role="status" {}
                    noscript { p { "Camera, pictures and files need the script of this page. Without it, type the code or paste the text of the file." } }
                    form id="came" method="post" action=(action) hidden {
                        (seat.form())
                        input type="hidden" name="given" value="";
                        input type="hidden" name="way" value=(Way::Page.key());
                    }
                }
                div {
                    h3 id="typed-head" { "By a typed code" }
                    p.hint id="typed-hint" { "Sixteen characters in four groups. I and L are read as 1, O as 0. The code tells a summary; it checks itself." }
                    form.typed-code method="post" action=(action) {
                        (seat.form())
                        div.groups role="group" aria-labelledby="typed-head" aria-describedby="typed-hint" {
                            @for at in 0..GROUPS {
                                input name="group" aria-label={ "Group " (at + 1) " of 4" } autocomplete="off" autocapitalize="characters" spellcheck="false" size="4" maxlength="24" required value=(group(at));
                            }
                        }
                        fieldset {
                            legend.unseen { "How the code reached us" }
                            label.choice { input type="radio" name="way" value=(Way::Telephone.key()) checked[!here]; " read by telephone" }
                            label.choice { input type="radio" name="way" value=(Way::Typed.key()) checked[here]; " read from the phone here" }
                        }
                        button type="submit" { "Look at this code" }
                    }
                }
            }
            details {
                summary { "Paste a text: a message with the code, the text of a file" }
                form.entry method="post" action=(action) {
                    (seat.form())
                    input type="hidden" name="way" value=(Way::Page.key());
                    label for="given" { "The text" }
                    textarea id="given" name="given" rows="4" spellcheck="false" required {}
                    button type="submit" { "Look at this text" }
                }
            }
            p.quiet { "Nothing is saved before you have looked at it." }
            script type="module" src="/assets/came-home.js" {}
        }
    }
}
