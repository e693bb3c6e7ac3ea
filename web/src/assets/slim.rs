//! Scripts as they are sent: without comments, idle white space, the last semicolon of a block, the last comma of a list,
//! the brackets around a function's one parameter. A constant goes as `let` (the linter has seen that nothing is written to
//! it), a row of declarations as one, and `true` as `!0`. Names and all other code stay as written.
//!
//! It knows strings, templates and regular expressions, and it wants a semicolon after each statement, which the linter
//! sees to. That nothing else changes is held by `tests/browser/check.mjs`, which compares the syntax trees.

/// A script without what only its readers need.
pub(super) fn slim(script: &str) -> String {
    let mut out = String::with_capacity(script.len());
    let mut rest = script;
    let mut gap = false;
    // for each bracket that is open, whether its latest statement declares something
    let mut declares = vec![false];
    while let Some(c) = rest.chars().next() {
        let nothing = if rest.starts_with("//") {
            Some(rest.find('\n').unwrap_or(rest.len()))
        } else if rest.starts_with("/*") {
            Some(rest.find("*/").map_or(rest.len(), |at| at + 2))
        } else {
            c.is_whitespace().then_some(c.len_utf8())
        };
        if let Some(len) = nothing {
            gap = true;
            rest = &rest[len..];
            continue;
        }
        let len = match c {
            '"' | '\'' => quoted(rest, c),
            '`' => template(rest),
            '/' if begins_expression(&out) => regular_expression(rest),
            _ => c.len_utf8(),
        };
        if gap
            && out
                .chars()
                .next_back()
                .is_some_and(|last| run_together(last, c))
        {
            out.push(' ');
        }
        let truth = [("true", "!0"), ("false", "!1")]
            .into_iter()
            .find(|(word, _)| {
                !out.ends_with(in_word)
                    && !out.ends_with('.')
                    && rest.strip_prefix(word).is_some_and(|after| {
                        !after.starts_with(|next| in_word(next) || next == ':')
                    })
            });
        if let Some((word, short)) = truth {
            if out.ends_with(' ') {
                out.pop();
            }
            out.push_str(short);
            rest = &rest[word.len()..];
            gap = false;
            continue;
        }
        gap = false;
        let declaration = ["const ", "let "]
            .into_iter()
            .find(|word| rest.starts_with(word) && (gap || !out.ends_with(in_word)));
        if let Some(word) = declaration {
            let is_statement = out.is_empty() || out.ends_with([';', '{', '}']);
            let joins = declares
                .last_mut()
                .is_some_and(|one| std::mem::replace(one, is_statement) && is_statement);
            if joins && out.ends_with(';') {
                out.pop();
                out.push(',');
                gap = false;
            } else {
                if gap && out.ends_with(in_word) {
                    out.push(' ');
                }
                out.push_str("let");
                gap = true;
            }
            rest = &rest[word.len()..];
            continue;
        }
        if out.ends_with(';')
            && let Some(one) = declares.last_mut()
        {
            *one = false;
        }
        match c {
            '{' | '(' | '[' => declares.push(false),
            '}' | ')' | ']' if declares.len() > 1 => {
                declares.pop();
            }
            _ => {}
        }
        // a block ends its last statement, a list its last member
        let ends = (c == '}' && out.ends_with(';'))
            || (matches!(c, '}' | ']' | ')') && out.ends_with(','));
        if ends {
            out.pop();
        }
        if rest.starts_with("=>") {
            bare_parameter(&mut out);
        }
        out.push_str(&rest[..len]);
        rest = &rest[len..];
    }
    out
}

/// Takes the brackets off a function's one plain parameter, where the text ends with them.
fn bare_parameter(out: &mut String) {
    let Some((before, name)) = out.strip_suffix(')').and_then(|text| text.rsplit_once('(')) else {
        return;
    };
    if name.is_empty() || !name.chars().all(in_word) {
        return;
    }
    let after_word = before.chars().next_back().is_some_and(in_word);
    *out = format!("{before}{}{name}", if after_word { " " } else { "" });
}

fn in_word(c: char) -> bool {
    c.is_alphanumeric() || matches!(c, '_' | '$')
}

/// Whether two characters would make one token of two.
fn run_together(last: char, next: char) -> bool {
    (in_word(last) && in_word(next)) || (last == next && matches!(last, '+' | '-'))
}

/// Whether a slash after this begins a regular expression: where a value is expected.
fn begins_expression(before: &str) -> bool {
    before.ends_with("return")
        || before.ends_with(['(', ',', '=', ':', '[', '!', '&', '|', '?', '{', ';', '>'])
}

/// The length of a string with its quotes.
fn quoted(text: &str, quote: char) -> usize {
    let mut escaped = true;
    for (at, c) in text.char_indices() {
        match c {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            _ if c == quote => return at + 1,
            _ => {}
        }
    }
    text.len()
}

/// The length of a template with its quotes, with the expressions in it.
fn template(text: &str) -> usize {
    let mut at = 1;
    let mut depth = 0;
    while let Some(c) = text[at..].chars().next() {
        match c {
            '\\' => at += 1,
            '`' if depth == 0 => return at + 1,
            '`' => at += template(&text[at..]) - 1,
            '$' if text[at..].starts_with("${") => {
                depth += 1;
                at += 1;
            }
            '}' if depth > 0 => depth -= 1,
            _ => {}
        }
        at += text[at..].chars().next().map_or(1, char::len_utf8);
    }
    text.len()
}

/// The length of a regular expression up to its closing slash.
fn regular_expression(text: &str) -> usize {
    let (mut escaped, mut in_class) = (true, false);
    for (at, c) in text.char_indices() {
        match c {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            '[' => in_class = true,
            ']' => in_class = false,
            '/' if !in_class => return at + 1,
            _ => {}
        }
    }
    text.len()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn comments_and_idle_white_space_go_and_all_else_stays() {
        for (script, sent) in [
            ("function a() {\n  b();\n}\n", "function a(){b()}"),
            ("// what\nlet a = 1; // why\nlet b;\n", "let a=1,b;"),
            ("/** @type {any} */ (x) /* y\nz */ = 2;", "(x)=2;"),
            ("return  a + +b - -c;", "return a+ +b- -c;"),
            (
                "const s = \"a  // b\" + 'it''s  \\'  so';",
                "let s=\"a  // b\"+'it''s  \\'  so';",
            ),
            (
                "say(`a  ${ b.map((c) => `${c}  /* ` + \"}\") }  // z`) ;",
                "say(`a  ${ b.map((c) => `${c}  /* ` + \"}\") }  // z`);",
            ),
            (
                "x.replace(/ [/*] \\/ /g, \" \"); y = a / b / c;",
                "x.replace(/ [/*] \\/ /g,\" \");y=a/b/c;",
            ),
            (
                "if (x) return /  '/u.test(y);",
                "if(x)return/  '/u.test(y);",
            ),
            ("\u{bd} \u{bd}", "\u{bd} \u{bd}"),
            (
                "const a = { once: true, true: b.false };\nif (c === false) return true;\nfalsely(d ? true : false);",
                "let a={once:!0,true:b.false};if(c===!1)return!0;falsely(d?!0:!1);",
            ),
            (
                "a((of) => of, async (of) => b(of), () => {}, ([of]) => of);",
                "a(of=>of,async of=>b(of),()=>{},([of])=>of);",
            ),
            ("f([a, b,], {c,\n}, (d),\n);", "f([a,b],{c},(d));"),
            (
                "const a = 1;\nconst b = () => {\n  const c = 2;\n  d();\n  const e = 3;\n};\nconst f = 4;\n",
                "let a=1,b=()=>{let c=2;d();let e=3},f=4;",
            ),
            (
                "export const a = 1;\nconst b = 2;\nlet c;\nconst d = 3;\nfor (const e of f) g(e);\nconst h = 4;",
                "export let a=1;let b=2,c,d=3;for(let e of f)g(e);let h=4;",
            ),
        ] {
            assert_eq!(slim(script), sent, "{script}");
        }
    }
}
