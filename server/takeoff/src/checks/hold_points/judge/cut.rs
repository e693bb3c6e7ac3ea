//! What a cut waits for, but for the shoring: services, bearing, readings, what takes the place of what is cut.

use super::{Asked, Fix, Found, listed, said};
use crate::checks::hold_points::effect::{bears_on, why_it_carries};
use crate::checks::hold_points::line::stand_on;
use crate::needs::{self, Fill};
use crate::record::{Kind, Record};

const SERVICES: [(&str, &str); 4] = [
    ("electric", "electric"),
    ("water", "water"),
    ("gas", "gas"),
    ("duct", "duct"),
];

impl Asked<'_> {
    fn wall(&self) -> Option<&Record> {
        self.job.get(self.change.to("wall")?)
    }

    /// What runs through the wall was looked at and made safe.
    pub(super) fn services(&self) -> Found {
        let Some(wall) = self.wall() else {
            let fill = self.field("wall");
            return Found::no("the wall is not recorded", fill);
        };
        let facts = vec![said(self.job, wall, &["electric", "water", "gas", "duct"])];
        for (field, word) in SERVICES {
            let lacks = match wall.text(field) {
                Some("none" | "safe") => continue,
                Some("live") => format!("{word} is there and not made safe"),
                _ => format!("{word} is not looked at yet"),
            };
            let of = wall.id;
            return Found::no(lacks, Fix::Fill(Fill::Field { of, field })).on(facts);
        }
        Found::yes("looked at, none live").on(facts)
    }

    /// Whether the wall carries, who says so and from what. "No" takes the lead's word; not known counts as yes.
    pub(super) fn bearing(&self) -> Found {
        let Some(wall) = self.wall() else {
            return Found::no("the wall is not recorded", self.field("wall"));
        };
        let facts = vec![said(self.job, wall, &["bearing", "bearing_why"])];
        let why = why_it_carries(self.job, wall);
        let says_no = wall.says("bearing", "no");
        match why {
            Some(why) if says_no => Found::no(
                format!("recorded as carrying nothing, but {why}"),
                Fix::Fill(Fill::Field {
                    of: wall.id,
                    field: "bearing",
                }),
            )
            .on(facts),
            Some(why) => Found::yes(format!("taken as carrying: {why}")).on(facts),
            None => Found::yes("carries nothing, by the lead’s word").on(facts),
        }
    }

    /// Whether old framing beside a new piece is cut, comes out or is relieved; not said, it counts as cut.
    pub(super) fn cuts_old(&self) -> Found {
        match self.change.text("cuts_old") {
            Some(said) => Found::yes("some is").on(vec![said.to_owned()]),
            None => Found::no(
                "not said: until then it counts as cut",
                self.field("cuts_old"),
            ),
        }
    }

    /// Every reading that the cut rests on is taken twice and agrees.
    pub(super) fn agreed(&self) -> Found {
        let takeoff = needs::of_change(self.job, self.change);
        if let Some(missing) = takeoff.missing.first() {
            return Found::no(
                format!("not recorded: {}", missing.text),
                Fix::Fill(missing.fill.clone()),
            );
        }
        let mut facts = Vec::new();
        for (spot, measured) in self.job.all_measured() {
            if !takeoff
                .needs
                .iter()
                .any(|need| need.readings.contains(&measured.counts))
            {
                continue;
            }
            if !measured.state.is_agreed() {
                return Found::no(
                    format!("{}: {spot} is not agreed", self.job.name(spot.of)),
                    Fix::Fill(Fill::Reading(spot.clone())),
                );
            }
            facts.push(format!(
                "{} {}",
                self.job.name(spot.of),
                super::measured(self.job, spot)
            ));
        }
        facts.sort_unstable();
        Found::yes("taken twice, and they agree").on(facts)
    }

    /// What takes the place of what is cut is planned by that week, or set.
    pub(super) fn replacement(&self) -> Found {
        let by_then = |one: &&Record| one.week() <= self.change.week() || one.state == "done";
        let Some(beam) = self.line.beams.iter().find(|beam| by_then(beam)) else {
            return Found::no(
                "no beam is planned in this line by this week",
                Fix::Fill(Fill::Thing(Kind::SetBeam)),
            );
        };
        let posts: Vec<&&Record> = self
            .line
            .posts
            .iter()
            .filter(|post| by_then(post))
            .collect();
        if posts.len() < 2 {
            return Found::no(
                format!(
                    "{} of 2 posts are planned under {}",
                    posts.len(),
                    beam.name()
                ),
                Fix::Fill(Fill::Thing(Kind::SetPost)),
            );
        }
        let hung = self.line.hangs.iter().any(by_then);
        if !beam.says("set", "below") && !hung {
            return Found::no(
                format!("no joists are planned to hang on {}", beam.name()),
                Fix::Fill(Fill::Thing(Kind::HangJoists)),
            );
        }
        let facts = self.line.beams.iter().chain(&self.line.posts);
        let facts = facts.map(|one| said(self.job, one, &["week", "nominal", "plies", "under"]));
        Found::yes("planned").on(facts.collect())
    }

    /// Struts that stand on what is cut are out already, on their own path.
    pub(super) fn carried(&self) -> Found {
        let week = self.change.week();
        let here = self
            .line
            .struts
            .iter()
            .filter(|one| stand_on(one, &self.line.walls) || one.week() == week);
        let all: Vec<&&Record> = here.collect();
        match all
            .iter()
            .find(|one| !matches!(one.state.as_str(), "under_way" | "done"))
        {
            Some(one) => Found::no(
                format!("{} still stand on it", one.name()),
                Fix::Begin(one.id),
            ),
            None if all.is_empty() => Found::yes("none are recorded on it"),
            None => {
                let names: Vec<String> = all.iter().map(|one| one.name().to_owned()).collect();
                Found::yes(format!("{} have their own path", listed(&names)))
            }
        }
    }

    /// Struts have a path of their own meanwhile.
    pub(super) fn temporary_path(&self) -> Found {
        match self.change.text("temporary_path") {
            Some(path) => Found::yes(path).on(vec![path.to_owned()]),
            None => Found::no("not recorded", self.field("temporary_path")),
        }
    }

    /// What bears on the walls that are cut, by the links of the record: the words beside the tick, and facts of it.
    pub(super) fn what_it_carries(&self) -> (String, Vec<String>) {
        let walls = self.line.walls.iter();
        let mut names: Vec<String> = walls
            .flat_map(|wall| bears_on(self.job, *wall))
            .filter(|one| one.kind != Kind::Shore)
            .map(|one| one.name().to_owned())
            .collect();
        names.sort_unstable();
        names.dedup();
        let why = if names.is_empty() {
            String::new()
        } else {
            format!("on it by the record: {}", listed(&names))
        };
        (why, names)
    }

    /// What the change cuts, as it is planned.
    pub(super) fn what_is_cut(&self) -> String {
        let fields = [
            "wall", "from", "to", "nominal", "beam", "runs", "plate", "stud", "count", "member",
            "number",
        ];
        said(self.job, self.change, &fields)
    }

    /// A field of the change itself.
    pub(super) fn field(&self, field: &'static str) -> Fix {
        Fix::Fill(Fill::Field {
            of: self.change.id,
            field,
        })
    }
}
