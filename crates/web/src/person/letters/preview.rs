//! A letter on screen, as it will be printed.

use document::{Block, Letter, Row};
use maud::{Markup, PreEscaped, html};

pub(super) fn letter(letter: &Letter) -> Markup {
    html! {
        article.letter lang=(letter.language) {
            h2 { (letter.title) }
            @for line in &letter.clinic { p.quiet { (line) } }
            p { (letter.made_on) }
            @for (at, line) in letter.about.iter().enumerate() {
                p { @if at == 0 { strong { (line) } } @else { (line) } }
            }
            @if let Some(invented) = &letter.invented { p.invented role="note" { (invented) } }
            @for part in &letter.parts {
                @if !part.title.is_empty() { h3 { (part.title) } }
                @for one in &part.blocks { (block(letter, one)) }
            }
            @for line in &letter.small_print { p.quiet { (line) } }
        }
    }
}

fn block(letter: &Letter, block: &Block) -> Markup {
    match block {
        Block::Sentences { rows, left_out } => html! {
            @for row in rows { p { (row.cells.join(" ")) } }
            @if let Some(more) = letter.more(*left_out) { p.quiet { (more) } }
        },
        Block::Table { head, rows, left_out } => html! {
            table.stack {
                thead { tr { @for cell in head { th scope="col" { (cell) } } } }
                tbody { @for row in rows { (line(row)) } }
            }
            @if let Some(more) = letter.more(*left_out) { p.quiet { (more) } }
        },
        Block::Drawings { drawings } => html! {
            @for drawn in drawings {
                div role="img" aria-label=(drawn.words) { (PreEscaped(drawn.scene.svg().as_str())) }
            }
        },
        Block::Choices { choices } => html! {
            @for choice in choices {
                @if !choice.question.is_empty() { p { strong { (choice.question) } } }
                @for behind in &choice.behind { p.quiet { (behind) } }
                ul { @for option in &choice.options { li { (option) } } }
            }
        },
        Block::Lines { labels } => html! { @for label in labels { p { (label) " ____________________" } } },
    }
}

fn line(row: &Row) -> Markup {
    html! {
        tr {
            @for (at, cell) in row.cells.iter().enumerate() {
                @if at == 0 { th scope="row" { (cell) } } @else { td { (cell) } }
            }
        }
    }
}
