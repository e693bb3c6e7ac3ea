//! A field of an entry: its name, its label, what may be typed into it, and how that is read.

use time::Date;
use time::macros::format_description;
use uuid::Uuid;

use super::kind::Kind;
use crate::tables::fastening::Connection;
use crate::units::{self, Length, Units, parse_length};

/// What may be typed into a field.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FieldType {
    /// One line of at most 200 characters.
    Text,
    /// One line, with words to choose from; others may be typed.
    Suggest(&'static [&'static str]),
    /// Several lines, at most 16 kB.
    Note,
    /// A text that is kept to the byte, at most 256 kB: an order as it was sent.
    Document,
    /// A length between two bounds, both included.
    Length {
        /// The least.
        least: Length,
        /// The most.
        most: Length,
    },
    /// A whole number between two bounds, both included.
    Count {
        /// The least.
        least: u32,
        /// The most.
        most: u32,
    },
    /// A number with so many decimals, kept as a whole number of them, from 0 to `most` (in the same units).
    Decimal {
        /// How many decimals are kept.
        places: usize,
        /// The most, scaled.
        most: i64,
    },
    /// An amount of money, from 0 on.
    Money,
    /// A percentage, kept in permille.
    Percent,
    /// A tax rate in percent, kept in 1/1000 %.
    TaxRate,
    /// One of these: stored word, shown words.
    Choice(&'static [(&'static str, &'static str)]),
    /// A day, `2026-10-14`.
    Date,
    /// Another thing of one of these kinds.
    Ref(&'static [Kind]),
    /// A nominal size such as `2x10`.
    Nominal,
    /// A nail for a connection, one of the fastening schedule's rows.
    Nail(Connection),
}

/// A field of a kind of thing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Field {
    /// Its name in storage, forms and job files.
    pub name: &'static str,
    /// What people see beside it.
    pub label: &'static str,
    /// What may be typed.
    pub kind: FieldType,
    /// Whether it must be there from the first on.
    pub required: bool,
    /// Whether it may come several times.
    pub list: bool,
    /// Whether it can be changed later.
    pub changeable: bool,
    /// One sentence under the field, or nothing.
    pub hint: &'static str,
    /// Whether forms show it at once; others stand under "More".
    pub first: bool,
    /// Whether it has a form of its own, and stands in no general one.
    pub apart: bool,
}

/// A value as typed, and what it was read as.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Value {
    /// As typed, trimmed.
    pub text: String,
    /// The number read: 1/64 in, count, cents, permille, scaled decimals.
    pub number: Option<i64>,
    /// The thing it names.
    pub to: Option<Uuid>,
}

const fn field(name: &'static str, label: &'static str, kind: FieldType) -> Field {
    Field {
        name,
        label,
        kind,
        required: false,
        list: false,
        changeable: true,
        hint: "",
        first: false,
        apart: false,
    }
}

/// A line of text.
pub const fn text(name: &'static str, label: &'static str) -> Field {
    field(name, label, FieldType::Text)
}

/// A line of text with words to choose from.
pub const fn suggest(
    name: &'static str,
    label: &'static str,
    words: &'static [&'static str],
) -> Field {
    field(name, label, FieldType::Suggest(words))
}

/// Several lines.
pub const fn note(name: &'static str, label: &'static str) -> Field {
    field(name, label, FieldType::Note)
}

/// A text that is kept to the byte.
pub const fn document(name: &'static str, label: &'static str) -> Field {
    field(name, label, FieldType::Document)
}

/// A length above zero, at most 200 ft.
pub const fn length(name: &'static str, label: &'static str) -> Field {
    between(name, label, Length::from_64ths(1), Length::feet(200))
}

/// A length from zero on, at most 200 ft: a position, a clearance.
pub const fn place(name: &'static str, label: &'static str) -> Field {
    between(name, label, Length::ZERO, Length::feet(200))
}

/// A length between two bounds.
pub const fn between(
    name: &'static str,
    label: &'static str,
    least: Length,
    most: Length,
) -> Field {
    field(name, label, FieldType::Length { least, most })
}

/// A whole number.
pub const fn count(name: &'static str, label: &'static str, least: u32, most: u32) -> Field {
    field(name, label, FieldType::Count { least, most })
}

/// A number with decimals.
pub const fn decimal(name: &'static str, label: &'static str, places: usize, most: i64) -> Field {
    field(name, label, FieldType::Decimal { places, most })
}

/// An amount of money.
pub const fn money(name: &'static str, label: &'static str) -> Field {
    field(name, label, FieldType::Money)
}

/// A percentage.
pub const fn percent(name: &'static str, label: &'static str) -> Field {
    field(name, label, FieldType::Percent)
}

/// One of several.
pub const fn choice(
    name: &'static str,
    label: &'static str,
    of: &'static [(&'static str, &'static str)],
) -> Field {
    field(name, label, FieldType::Choice(of))
}

/// A day.
pub const fn date(name: &'static str, label: &'static str) -> Field {
    field(name, label, FieldType::Date)
}

/// Another thing.
pub const fn to(name: &'static str, label: &'static str, kinds: &'static [Kind]) -> Field {
    field(name, label, FieldType::Ref(kinds))
}

/// A nominal size.
pub const fn nominal(name: &'static str, label: &'static str) -> Field {
    field(name, label, FieldType::Nominal)
}

/// A nail for a connection.
pub const fn nail(name: &'static str, label: &'static str, of: Connection) -> Field {
    field(name, label, FieldType::Nail(of))
}

/// A tax rate.
pub const fn tax_rate(name: &'static str, label: &'static str) -> Field {
    field(name, label, FieldType::TaxRate)
}

impl Field {
    /// Must be there; shown at once.
    pub const fn required(self) -> Self {
        Self {
            required: true,
            first: true,
            ..self
        }
    }

    /// Shown at once.
    pub const fn first(self) -> Self {
        Self {
            first: true,
            ..self
        }
    }

    /// May come several times.
    pub const fn list(self) -> Self {
        Self { list: true, ..self }
    }

    /// In a form of its own.
    pub const fn apart(self) -> Self {
        Self {
            apart: true,
            ..self
        }
    }

    /// Can't be changed later.
    pub const fn fixed(self) -> Self {
        Self {
            changeable: false,
            ..self
        }
    }

    /// With a sentence under it.
    pub const fn hint(self, hint: &'static str) -> Self {
        Self { hint, ..self }
    }

    /// Whether blanks at its ends and between its lines stay as they are.
    pub fn is_kept_whole(&self) -> bool {
        matches!(self.kind, FieldType::Document)
    }

    /// A text that can be read, for messages and tests.
    pub fn example(&self) -> String {
        match self.kind {
            FieldType::Text => "Wall D".to_owned(),
            FieldType::Suggest(words) => words.first().copied().unwrap_or("as found").to_owned(),
            FieldType::Note | FieldType::Document => "Two cables, capped in the cellar".to_owned(),
            FieldType::Length { least, most } => {
                let usual = Length::inches_64(83, 40);
                if (least..=most).contains(&usual) {
                    usual.to_string()
                } else {
                    least.to_string()
                }
            }
            FieldType::Count { least, most } => 9.clamp(least, most).to_string(),
            FieldType::Decimal { .. } => "8".to_owned(),
            FieldType::Money => "12.50".to_owned(),
            FieldType::Percent => "10".to_owned(),
            FieldType::TaxRate => "6.25".to_owned(),
            FieldType::Choice(of) => of.first().map_or("", |(word, _)| word).to_owned(),
            FieldType::Date => "2026-10-14".to_owned(),
            FieldType::Ref(kinds) => format!(
                "a {} from the list",
                kinds.first().map_or("thing", |k| k.title()).to_lowercase()
            ),
            FieldType::Nominal => "2x10".to_owned(),
            FieldType::Nail(connection) => connection
                .rows()
                .first()
                .map_or(String::new(), |row| row.nail.text()),
        }
    }

    /// Reads what was typed. The text is trimmed; an empty one is the caller's matter.
    ///
    /// # Errors
    /// A sentence: where, why, and an example.
    pub fn read(&self, typed: &str, units: Units) -> Result<Value, String> {
        let text = if self.is_kept_whole() {
            typed
        } else {
            typed.trim()
        };
        let plain = |number| {
            Ok(Value {
                text: text.to_owned(),
                number,
                to: None,
            })
        };
        let longest = match self.kind {
            FieldType::Document => 262_144,
            FieldType::Note => 16_384,
            _ => 200,
        };
        let lines = matches!(self.kind, FieldType::Note | FieldType::Document);
        if text.len() > longest {
            return Err(format!(
                "{} is longer than {longest} bytes. Write it shorter.",
                self.label
            ));
        }
        if let Some(at) = text
            .chars()
            .position(|c| c.is_control() && !(lines && matches!(c, '\n' | '\r' | '\t')))
        {
            return Err(format!(
                "Character {} of {} can't be written or shown. Leave it out.",
                at + 1,
                self.label
            ));
        }
        match self.kind {
            FieldType::Text | FieldType::Suggest(_) | FieldType::Note | FieldType::Document => {
                plain(None)
            }
            FieldType::Length { least, most } => {
                let read = parse_length(text, units).map_err(|e| e.to_string())?;
                if (least..=most).contains(&read) {
                    plain(Some(read.as_64ths()))
                } else {
                    Err(format!(
                        "{} is {}: it goes from {} to {}, as in {}",
                        self.label,
                        read.echo(units),
                        least.feet_inches(),
                        most.feet_inches(),
                        self.example()
                    ))
                }
            }
            FieldType::Count { least, most } => {
                let read = units::parse_count(text).map_err(|e| e.to_string())?;
                if (least..=most).contains(&read) {
                    plain(Some(i64::from(read)))
                } else {
                    Err(format!(
                        "{} is {read}: it goes from {least} to {most}, as in {}",
                        self.label,
                        self.example()
                    ))
                }
            }
            FieldType::Decimal { places, most } => {
                let read = units::parse_decimal(text, places).map_err(|e| e.to_string())?;
                if (0..=most).contains(&read) {
                    plain(Some(read))
                } else {
                    Err(format!(
                        "{} is {text}: it goes from 0 to {}, as in {}",
                        self.label,
                        units::decimal_text(most, places),
                        self.example()
                    ))
                }
            }
            FieldType::Money => plain(Some(
                units::parse_money(text)
                    .map_err(|e| e.to_string())?
                    .as_cents(),
            )),
            FieldType::Percent => plain(Some(i64::from(
                units::parse_permille(text).map_err(|e| e.to_string())?.0,
            ))),
            FieldType::TaxRate => plain(Some(i64::from(
                units::parse_tax_rate(text).map_err(|e| e.to_string())?.0,
            ))),
            FieldType::Choice(of) => {
                if of.iter().any(|(word, _)| *word == text) {
                    return plain(None);
                }
                let words: Vec<&str> = of.iter().map(|(word, _)| *word).collect();
                Err(format!(
                    "{}: {text} is not one of {}.",
                    self.label,
                    words.join(", ")
                ))
            }
            FieldType::Date => Date::parse(text, format_description!("[year]-[month]-[day]"))
                .map_err(|_| {
                    format!(
                        "{}: {text} is no day. Write year, month and day, as in 2026-10-14",
                        self.label
                    )
                })
                .and_then(|day| plain(Some(i64::from(day.to_julian_day())))),
            FieldType::Ref(_) => Uuid::parse_str(text)
                .map(|id| Value {
                    text: id.to_string(),
                    number: None,
                    to: Some(id),
                })
                .map_err(|_| format!("{}: choose {}.", self.label, self.example())),
            FieldType::Nominal => units::Nominal::parse(text)
                .map(|n| Value {
                    text: n.to_string(),
                    number: None,
                    to: None,
                })
                .map_err(|e| e.to_string()),
            FieldType::Nail(connection) => connection
                .rows()
                .iter()
                .map(|row| row.nail.text())
                .find(|name| name == text)
                .map(|name| Value {
                    text: name,
                    number: None,
                    to: None,
                })
                .ok_or_else(|| {
                    let names: Vec<String> = connection
                        .rows()
                        .iter()
                        .map(|row| row.nail.text())
                        .collect();
                    format!(
                        "{}: {text} is not in the schedule for this. It has {}.",
                        self.label,
                        names.join(", ")
                    )
                }),
        }
    }
}
