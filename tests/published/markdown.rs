//! How the copies that are not CSV are read: the rows of their tables, and figures compared to the digits they show.

/// The cells of every table row of a text, without the rulers under the headings.
pub(crate) fn table_rows(text: &str) -> Vec<Vec<String>> {
    text.lines()
        .filter(|line| line.starts_with('|') && !line.starts_with("|---"))
        .map(|line| {
            let inner = line.trim().trim_matches('|');
            inner
                .split('|')
                .map(|cell| cell.trim().to_owned())
                .collect()
        })
        .collect()
}

/// The part of a text under a heading, to the next heading.
pub(crate) fn section<'a>(text: &'a str, heading: &str) -> &'a str {
    let from = text
        .find(heading)
        .unwrap_or_else(|| panic!("no heading {heading}"));
    let rest = &text[from..];
    let end = rest[1..].find("\n#").map_or(rest.len(), |at| at + 1);
    &rest[..end]
}

/// Asserts that a figure is the printed one to its digits: within half of its last digit.
#[track_caller]
pub(crate) fn to_its_digits(ours: f64, printed: &str) {
    let plain = printed.replace(',', "");
    let places = plain.split_once('.').map_or(0, |(_, after)| after.len());
    let value: f64 = plain
        .parse()
        .unwrap_or_else(|_| panic!("no figure: {printed}"));
    let half = 0.5 * 0.1_f64.powi(i32::try_from(places).unwrap());
    assert!(
        (ours - value).abs() <= half * (1.0 + 1e-9),
        "{ours} is not {printed}"
    );
}

/// Asserts that a figure is within one unit of the printed one's last digit.
#[track_caller]
pub(crate) fn within_one_unit(ours: f64, published: &str) {
    let plain = published.replace(',', "");
    let places = plain.split_once('.').map_or(0, |(_, after)| after.len());
    let value: f64 = plain
        .parse()
        .unwrap_or_else(|_| panic!("no figure: {published}"));
    let unit = 0.1_f64.powi(i32::try_from(places).unwrap());
    assert!(
        (ours - value).abs() <= unit * (1.0 + 1e-9),
        "{ours} is not within a unit of {published}"
    );
}

#[test]
fn the_digits_of_a_figure_decide_how_near_is_near() {
    to_its_digits(1236.54, "1,236.5");
    to_its_digits(0.986_998, "0.98700");
    assert!(std::panic::catch_unwind(|| to_its_digits(1236.56, "1,236.5")).is_err());
    assert!(std::panic::catch_unwind(|| within_one_unit(1238.1, "1,237")).is_err());
    assert_eq!(table_rows("| a | b |\n|---|---|\n| 1 | 2 |")[1], ["1", "2"]);
    assert_eq!(section("# a\nx\n# b\ny", "# a"), "# a\nx");
}
