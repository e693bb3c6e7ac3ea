//! What a person can point at: a stick, a panel, nails, a hanger, a sundry. One text of it for forms, storage and files.
//!
//! Does not know prices, nor where a thing lies. Source: common practice, no published source.

use std::fmt;

use serde::{Deserialize, Serialize};
use thiserror::Error;
use uuid::Uuid;

use crate::needs::{Class, FastenerClass, PanelClass, StickClass, Treatment};
use crate::record::Job;
use crate::tables::ps20::{Seasoning, dressed};
use crate::units::{Length, Nominal, Section};

/// What is counted: everything that can be bought, lies on hand, or is used. Sorted as the buy list is.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Item {
    /// A stick of lumber, or what is left of one.
    Stick {
        /// Its class.
        class: StickClass,
        /// Its length.
        length: Length,
    },
    /// A panel, or a rectangle left of one.
    Panel {
        /// Its class, with the size of the whole sheet.
        class: PanelClass,
        /// Its side along the strength axis.
        along: Length,
        /// Its side across it.
        across: Length,
    },
    /// Nails or screws, counted in pieces.
    Fastener {
        /// Their class.
        class: FastenerClass,
    },
    /// A row of the job's hardware table.
    Hardware {
        /// The row.
        row: Uuid,
    },
    /// Anything else.
    Sundry {
        /// Its name.
        name: String,
        /// Its unit, a word of the price book: `each`, `roll`.
        unit: String,
    },
}

/// A text that names no item.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error(
    "Can't read {0} as an item. Choose one from the list, as in stick;2x4;96x224;Hem-Fir;No.2;none;6144"
)]
pub struct ItemError(pub String);

impl Item {
    /// The class that it serves.
    pub fn class(&self) -> Class {
        match self {
            Self::Stick { class, .. } => Class::Stick(class.clone()),
            Self::Panel { class, .. } => Class::Panel(class.clone()),
            Self::Fastener { class } => Class::Fastener(class.clone()),
            Self::Hardware { row } => Class::Hardware { row: *row },
            Self::Sundry { name, unit } => Class::Sundry {
                name: name.clone(),
                unit: unit.clone(),
            },
        }
    }

    /// The whole sheet of a class.
    pub fn sheet(class: PanelClass) -> Self {
        let (along, across) = (class.along, class.across);
        Self::Panel {
            class,
            along,
            across,
        }
    }

    /// The item of a class that is counted by movements; none for sticks and panels, which have a size besides.
    pub fn counted(class: &Class) -> Option<Self> {
        match class {
            Class::Stick(_) | Class::Panel(_) => None,
            Class::Fastener(class) => Some(Self::Fastener {
                class: class.clone(),
            }),
            Class::Hardware { row } => Some(Self::Hardware { row: *row }),
            Class::Sundry { name, unit } => Some(Self::Sundry {
                name: name.clone(),
                unit: unit.clone(),
            }),
        }
    }

    /// Whether each one has a row and an id of its own: sticks and panels.
    pub fn has_rows(&self) -> bool {
        matches!(self, Self::Stick { .. } | Self::Panel { .. })
    }

    /// Its section of the lists, a word of the price book: `stick`, `panel`, `fastener`, `hardware`, `sundry`.
    pub fn section(&self) -> &'static str {
        match self {
            Self::Stick { .. } => "stick",
            Self::Panel { .. } => "panel",
            Self::Fastener { .. } => "fastener",
            Self::Hardware { .. } => "hardware",
            Self::Sundry { .. } => "sundry",
        }
    }

    /// In yard words, with the name of a row of the hardware table.
    pub fn words(&self, job: &Job) -> String {
        match self {
            Self::Hardware { row } => job.name(*row).to_owned(),
            other => other.to_string(),
        }
    }

    /// Its one text, read back by [`Item::from_key`]: parts with `;` between, lengths in 1/64 in, `;` and `\` in a part
    /// behind a `\`.
    pub fn to_key(&self) -> String {
        match self {
            Self::Stick { class, length } => {
                let size = class.dressed;
                join(&[
                    "stick",
                    &class.nominal.text(),
                    &format!("{}x{}", size.thickness.as_64ths(), size.depth.as_64ths()),
                    &class.species,
                    &class.grade,
                    match class.treatment {
                        Treatment::None => "none",
                        Treatment::Treated => "treated",
                    },
                    &length.as_64ths().to_string(),
                ])
            }
            Self::Panel {
                class,
                along,
                across,
            } => join(&[
                "panel",
                &class.panel,
                &class.thickness.as_64ths().to_string(),
                &class.along.as_64ths().to_string(),
                &class.across.as_64ths().to_string(),
                &along.as_64ths().to_string(),
                &across.as_64ths().to_string(),
            ]),
            Self::Fastener { class } => join(&["fastener", &class.what, &class.coating]),
            Self::Hardware { row } => join(&["hardware", &row.to_string()]),
            Self::Sundry { name, unit } => join(&["sundry", name, unit]),
        }
    }

    /// The text of an item that stands in for another.
    pub fn instead_key(item: &Self, asked: &Self) -> String {
        join(&["instead", &item.to_key(), &asked.to_key()])
    }

    /// Reads the text of an item that was used, by itself or in place of another: the item, and what it stood in for.
    ///
    /// # Errors
    /// A text that names no item.
    pub fn from_used_key(text: &str) -> Result<(Self, Option<Self>), ItemError> {
        let parts = split(text.trim());
        match parts.as_slice() {
            [word, item, asked] if word == "instead" => {
                Ok((Self::from_key(item)?, Some(Self::from_key(asked)?)))
            }
            _ => Ok((Self::from_key(text)?, None)),
        }
    }

    /// Reads the text of [`Item::to_key`].
    ///
    /// # Errors
    /// A text that names no item.
    pub fn from_key(text: &str) -> Result<Self, ItemError> {
        let parts = split(text.trim());
        let parts: Vec<&str> = parts.iter().map(String::as_str).collect();
        let length = |text: &str| -> Option<Length> {
            let n = text
                .parse()
                .ok()
                .filter(|n| (1..=64 * 12 * 1000).contains(n))?;
            Some(Length::from_64ths(n))
        };
        let read = || -> Option<Self> {
            match parts[..] {
                ["stick", nominal, size, species, grade, treatment, long] => {
                    let (thickness, depth) = size.split_once('x')?;
                    Some(Self::Stick {
                        class: StickClass {
                            nominal: Nominal::parse(nominal).ok()?,
                            dressed: Section {
                                thickness: length(thickness)?,
                                depth: length(depth)?,
                            },
                            species: species.to_owned(),
                            grade: grade.to_owned(),
                            treatment: match treatment {
                                "none" => Treatment::None,
                                "treated" => Treatment::Treated,
                                _ => return None,
                            },
                        },
                        length: length(long)?,
                    })
                }
                [
                    "panel",
                    panel,
                    thickness,
                    along,
                    across,
                    part_along,
                    part_across,
                ] => Some(Self::Panel {
                    class: PanelClass {
                        panel: panel.to_owned(),
                        thickness: length(thickness)?,
                        along: length(along)?,
                        across: length(across)?,
                    },
                    along: length(part_along)?,
                    across: length(part_across)?,
                }),
                ["fastener", what, coating] if !what.is_empty() => Some(Self::Fastener {
                    class: FastenerClass::new(what, coating),
                }),
                ["hardware", row] => Some(Self::Hardware {
                    row: Uuid::parse_str(row).ok()?,
                }),
                ["sundry", name, unit] if !name.is_empty() => Some(Self::Sundry {
                    name: name.to_owned(),
                    unit: unit.to_owned(),
                }),
                _ => None,
            }
        };
        read().ok_or_else(|| ItemError(text.to_owned()))
    }
}

/// In yard words: `2×10 Hem-Fir No.2, 14 ft`; a section that isn't a dressed size of PS 20 stands behind the name.
impl fmt::Display for Item {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Stick { class, length } => {
                let named = class.to_string();
                f.write_str(&named.split_whitespace().collect::<Vec<_>>().join(" "))?;
                let by_table = [Seasoning::Dry, Seasoning::Green]
                    .into_iter()
                    .filter_map(|seasoning| dressed(class.nominal, seasoning))
                    .any(|size| size == class.dressed);
                if !by_table {
                    write!(f, " ({} in)", class.dressed)?;
                }
                write!(f, ", {}", long(*length))
            }
            Self::Panel {
                class,
                along,
                across,
            } => {
                if (*along, *across) == (class.along, class.across) {
                    write!(f, "{class}")
                } else {
                    write!(
                        f,
                        "{} {} in, part {across} × {along}",
                        class.panel, class.thickness
                    )
                }
            }
            Self::Fastener { class } => write!(f, "{class}"),
            Self::Hardware { row } => write!(f, "hardware {row}"),
            Self::Sundry { name, .. } => f.write_str(name),
        }
    }
}

/// A stick's length as the yard says it: whole feet as `14 ft`, else inches.
fn long(length: Length) -> String {
    let foot = Length::feet(1);
    if length > Length::ZERO && length.up_to(foot) == length {
        format!("{} ft", length.div_down(foot))
    } else {
        format!("{length} in")
    }
}

pub(super) fn join(parts: &[&str]) -> String {
    let escaped: Vec<String> = parts
        .iter()
        .map(|part| part.replace('\\', "\\\\").replace(';', "\\;"))
        .collect();
    escaped.join(";")
}

pub(super) fn split(text: &str) -> Vec<String> {
    let (mut parts, mut part, mut escaped) = (Vec::new(), String::new(), false);
    for c in text.chars() {
        match c {
            '\\' if !escaped => escaped = true,
            ';' if !escaped => parts.push(std::mem::take(&mut part)),
            _ => {
                part.push(c);
                escaped = false;
            }
        }
    }
    parts.push(part);
    parts
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn joist() -> StickClass {
        StickClass {
            nominal: Nominal::parse("2x10").unwrap(),
            dressed: Section {
                thickness: Length::inches_64(1, 32),
                depth: Length::inches_64(9, 16),
            },
            species: "Hem-Fir".to_owned(),
            grade: "No.2".to_owned(),
            treatment: Treatment::None,
        }
    }

    #[test]
    fn the_text_of_an_item_names_it_again() {
        let sheet = PanelClass {
            panel: "plywood; subfloor".to_owned(),
            thickness: Length::from_64ths(46),
            along: Length::inches(96),
            across: Length::inches(48),
        };
        let items = [
            Item::Stick {
                class: joist(),
                length: Length::feet(14),
            },
            Item::sheet(sheet.clone()),
            Item::Panel {
                class: sheet,
                along: Length::inches(30),
                across: Length::inches_64(47, 32),
            },
            Item::Fastener {
                class: FastenerClass::new("16d common", ""),
            },
            Item::Hardware { row: Uuid::max() },
        ];
        for item in items {
            assert_eq!(Item::from_key(&item.to_key()), Ok(item));
        }
    }

    #[test]
    fn a_stick_reads_as_the_yard_says_it() {
        let stick = |length| Item::Stick {
            class: joist(),
            length,
        };
        assert!(
            stick(Length::feet(14)).to_string().ends_with(", 14 ft"),
            "{}",
            stick(Length::feet(14))
        );
        assert!(
            stick(Length::inches_64(50, 32))
                .to_string()
                .ends_with(", 50 1/2 in")
        );
        assert_eq!(
            stick(Length::feet(14)).to_key(),
            "stick;2x10;96x592;Hem-Fir;No.2;none;10752"
        );
    }

    #[test]
    fn a_text_that_is_no_item_is_refused() {
        for text in [
            "",
            "stick",
            "stick;2x10;96x592;Hem-Fir;No.2;none;0",
            "stick;2x10;96x592;Hem-Fir;No.2;oiled;10752",
            "hardware;7",
            "sundry;;each",
        ] {
            assert_eq!(Item::from_key(text), Err(ItemError(text.to_owned())));
        }
    }

    proptest! {
        #[test]
        fn any_name_of_a_sundry_comes_back(name in "[^ \\p{C}]([^\\p{C}]*[^ \\p{C}])?") {
            let item = Item::Sundry { name, unit: "each".to_owned() };
            prop_assert_eq!(Item::from_key(&item.to_key()), Ok(item));
        }
    }
}
