//! Arithmetic set out: a line a step, the result under a rule.

use maud::{Markup, html};
use scantling_takeoff::needs::Sum;

/// Sets it out.
pub fn calc(sums: &[Sum]) -> Markup {
    html! {
        ul class="calc" {
            @for sum in sums { (line(sum)) }
        }
    }
}

fn line(sum: &Sum) -> Markup {
    html! {
        li class=[sum.result.then_some("eq")] {
            span { (sum.label) }
            b { @for (at, part) in sum.value.split(" · ").enumerate() { @if at > 0 { " · " } span class="len" { (part) } } }
            @if !sum.note.is_empty() { span class="s" { (sum.note) } }
        }
    }
}
