//! What a beam waits for, and what shoring waits for of the beam: lumber here, people, posts, packing, hangers, struts.

use super::{Asked, Fix, Found, listed, measured, names, said, says};
use crate::buy::{DoneStick, Item};
use crate::checks::on_record::{self, packs_under};
use crate::checks::{self, CheckKind, Verdict};
use crate::needs::{self, Fill, beam_long, size_of};
use crate::record::{Job, Kind, Record, Spot, What};
use crate::units::Length;

/// A stick that is trimmed in place is longer than its longest reading asks by this. Source: common practice, no published
/// source.
const TRIM: Length = Length::inches(1);

const PACK_FIELDS: [&str; 5] = ["nominal", "count", "length", "thickness", "on_end"];

impl Asked<'_> {
    /// Every stick of the beam is here, or it is being set. What was bought for it is a fact: a swap reopens.
    pub(super) fn beam_on_site(&self) -> Found {
        let mut facts = Vec::new();
        for beam in &self.line.beams {
            let mut items: Vec<String> = self
                .job
                .ledger
                .rows
                .values()
                .filter(|row| !row.listed && row.pieces.iter().any(|piece| piece.change == beam.id))
                .map(|row| row.item.to_key())
                .collect();
            items.sort_unstable();
            items.dedup();
            facts.push(said(self.job, beam, &["nominal", "plies", "grade"]));
            facts.extend(items);
            if matches!(beam.state.as_str(), "under_way" | "done") {
                continue;
            }
            if let Some((_, stop)) = self.not_cleared(beam, CheckKind::WayIn) {
                let why = format!("{}: {stop}", beam.name());
                return Found::no(why, way_in_fix(self.job, beam)).on(facts);
            }
            let form = crate::buy::done_form(self.job, beam.id);
            let away = form.sticks.iter().filter(|stick| !stick.is_here).count();
            if away > 0 || form.sticks.is_empty() {
                let why = format!("{}: its lumber is not here yet", beam.name());
                return Found::no(why, Fix::Buy(beam.id)).on(facts);
            }
            let clear = Spot::of(beam.id, What::ClearBetweenPosts);
            if !is_agreed_or_long(self.job, beam, &form.sticks) {
                let why = format!(
                    "{}: its length is not taken twice with readings that agree, and a stick of it is less than {TRIM} in longer",
                    beam.name()
                );
                return Found::no(why, Fix::Fill(Fill::Reading(clear))).on(facts);
            }
            facts.push(measured(self.job, &clear));
        }
        if self.line.beams.is_empty() {
            return Found::yes("no beam is planned in this line");
        }
        Found::yes("its lumber is here").on(facts)
    }

    /// Beams are set on two posts each, or more, and these stand.
    pub(super) fn beam_bears(&self) -> Found {
        for one in self.line.beams.iter().chain(&self.line.posts) {
            if one.state != "done" {
                let why = format!("{} is not set yet", one.name());
                return Found::no(why, Fix::Finish(one.id));
            }
        }
        let facts = names(&self.line.beams);
        match facts.as_slice() {
            [] => Found::yes("no beam is planned in this line"),
            _ => Found::yes(format!("{} set", listed(&facts))).on(facts),
        }
    }

    /// Posts under the beam stand.
    pub(super) fn posts(&self) -> Found {
        if let Some(post) = self.line.posts.iter().find(|post| post.state != "done") {
            let why = format!("{} does not stand yet", post.name());
            return Found::no(why, Fix::Finish(post.id));
        }
        let fields = ["nominal", "place", "lands", "stands_on"];
        let facts = self.line.posts.iter();
        let facts: Vec<String> = facts.map(|post| said(self.job, post, &fields)).collect();
        if facts.len() < 2 {
            return Found::no(
                format!("{} of 2 posts are on record", facts.len()),
                Fix::Fill(Fill::Thing(Kind::SetPost)),
            );
        }
        Found::yes(format!("{} posts stand", facts.len())).on(facts)
    }

    /// Packing under the posts is set: what is planned, and all that their landings ask for.
    pub(super) fn packing(&self) -> Found {
        if let Some(pack) = self.line.packs.iter().find(|pack| pack.state != "done") {
            let why = format!("{} is not set yet", pack.name());
            return Found::no(why, Fix::Finish(pack.id));
        }
        for post in &self.line.posts {
            let found = on_record::lands_on(self.job, post, &|pack| pack.state == "done");
            if found.verdict >= Verdict::CantTellYet {
                let says = says(found.verdict, &found.sentence, &found.measure);
                let fill = found.fill.unwrap_or(Fill::Thing(Kind::Pack));
                return Found::no(format!("{}: {says}", post.name()), Fix::Fill(fill));
            }
        }
        let facts = self.line.packs.iter();
        let facts: Vec<String> = facts
            .map(|pack| said(self.job, pack, &PACK_FIELDS))
            .collect();
        let why = if facts.is_empty() {
            "none is asked for"
        } else {
            "set"
        };
        Found::yes(why).on(facts)
    }

    /// Every post has a place and something solid that it lands on, its packing set or planned by then.
    pub(super) fn landings(&self) -> Found {
        let fields = [
            "place",
            "across",
            "lands",
            "lands_on",
            "stands_on",
            "floor",
            "nominal",
        ];
        let mut facts = Vec::new();
        for post in &self.line.posts {
            for field in ["place", "lands"] {
                if post.text(field).is_none() {
                    let of = post.id;
                    return Found::no(
                        format!("{}: not recorded where it lands", post.name()),
                        Fix::Fill(Fill::Field { of, field }),
                    );
                }
            }
            let found = self.landing(post);
            if found.verdict >= Verdict::CantTellYet {
                let of = post.id;
                let place = Fill::Field { of, field: "place" };
                let fill = found.fill.unwrap_or(place);
                let says = says(found.verdict, &found.sentence, &found.measure);
                return Found::no(format!("{}: {says}", post.name()), Fix::Fill(fill));
            }
            facts.push(said(self.job, post, &fields));
            for pack in packs_under(self.job, post).filter(|pack| self.is_packed_by_then(pack)) {
                facts.push(said(self.job, pack, &PACK_FIELDS));
            }
            for (spot, read) in self.job.all_measured() {
                if read.all.iter().any(|one| found.readings.contains(&one.id)) {
                    let name = self.job.name(spot.of);
                    facts.push(format!("{name} {}", measured(self.job, spot)));
                }
            }
        }
        facts.sort_unstable();
        let planned = self.packing_planned();
        if planned.is_empty() {
            return Found::yes("recorded for each post").on(facts);
        }
        let why = format!("recorded for each post, with {} planned", listed(&planned));
        Found::yes(why).on(facts)
    }

    /// How a post lands with the packing under it that is set, or planned by the change's week.
    fn landing(&self, post: &Record) -> checks::Finding {
        on_record::lands_on(self.job, post, &|pack| self.is_packed_by_then(pack))
    }

    fn is_packed_by_then(&self, pack: &Record) -> bool {
        pack.state == "done" || pack.week() <= self.change.week()
    }

    /// Packing that a post of the line takes to land, and that isn't set yet.
    pub(super) fn packing_planned(&self) -> Vec<String> {
        let mut names = Vec::new();
        for post in &self.line.posts {
            let planned: Vec<String> = packs_under(self.job, post)
                .filter(|pack| pack.state != "done" && self.is_packed_by_then(pack))
                .map(|pack| pack.name().to_owned())
                .collect();
            let is_set = |pack: &Record| pack.state == "done";
            if !planned.is_empty()
                && on_record::lands_on(self.job, post, &is_set).verdict >= Verdict::CantTellYet
            {
                names.extend(planned);
            }
        }
        names
    }

    /// Joists of this line's beams are hung.
    pub(super) fn hangers(&self) -> Found {
        if let Some(hang) = self.line.hangs.iter().find(|hang| hang.state != "done") {
            let why = format!("{} is not done", hang.name());
            return Found::no(why, Fix::Finish(hang.id));
        }
        let fields = ["hanger", "hanger_fit", "runs"];
        let facts = self.line.hangs.iter();
        let facts: Vec<String> = facts.map(|hang| said(self.job, hang, &fields)).collect();
        let why = if facts.is_empty() {
            "none are planned in this line"
        } else {
            "hung"
        };
        Found::yes(why).on(facts)
    }

    /// Struts that are out are back.
    pub(super) fn struts_back(&self) -> Found {
        match self.line.struts.iter().find(|one| one.state == "under_way") {
            Some(one) => Found::no(format!("{} are still out", one.name()), Fix::Finish(one.id)),
            None => Found::yes("none are out"),
        }
    }

    /// How many people the beam takes, by its weight: the figure beside the tick, and a fact of it, as its section is, which
    /// tells one beam from another while no weight is known.
    pub(super) fn people(&self) -> (String, Vec<String>) {
        let section = said(self.job, self.change, &["nominal", "plies"]);
        let facts = needs::of_change(self.job, self.change).facts;
        let of = |name: &str| {
            let all: Vec<&needs::Fact> = facts.iter().filter(|fact| fact.name == name).collect();
            all.iter()
                .max_by_key(|fact| fact.number)
                .map(|fact| fact.value.clone())
        };
        match (of("people"), of("weight_lb")) {
            (Some(people), Some(weight)) => {
                let why = format!("{people} people for {weight}");
                (why.clone(), vec![why, section])
            }
            _ => (
                "its weight is not known yet: weigh it first".to_owned(),
                vec![section],
            ),
        }
    }

    /// What a fit check of a change says where it says stop or can't tell, without its full stop: what isn't known is no
    /// pass.
    pub(super) fn not_cleared(
        &self,
        change: &Record,
        kind: CheckKind,
    ) -> Option<(Verdict, String)> {
        checks::fits_of_change(self.job, change)
            .into_iter()
            .filter(|check| check.kind == kind && check.verdict >= Verdict::CantTellYet)
            .max_by_key(|check| check.verdict)
            .map(|check| {
                let says = says(check.verdict, &check.sentence, &check.measure);
                (check.verdict, says)
            })
    }
}

/// What clears a way in: what of it lacks; else its clear is read again once an end is left out or the beam is staged.
fn way_in_fix(job: &Job, beam: &Record) -> Fix {
    let read = |what| job.measured(&Spot::of(beam.id, what)).map(|one| one.value);
    let all = [
        What::ClearBetweenPosts,
        What::ClearAtFloor,
        What::ClearAtSeat,
    ];
    if let Some(lacks) = all.into_iter().find(|what| read(*what).is_none()) {
        return Fix::Fill(Fill::Reading(Spot::of(beam.id, lacks)));
    }
    let of = beam.id;
    if size_of(beam, "nominal").is_none() {
        let field = "nominal";
        return Fix::Fill(Fill::Field { of, field });
    }
    if beam_long(job, beam).is_none() {
        let field = "bearing_start";
        return Fix::Fill(Fill::Field { of, field });
    }
    let narrower = if read(What::ClearAtSeat) < read(What::ClearAtFloor) {
        What::ClearAtSeat
    } else {
        What::ClearAtFloor
    };
    Fix::Fill(Fill::Reading(Spot::of(of, narrower)))
}

/// Whether a beam's sticks are cut to readings that agree, or each is long enough to be trimmed in place by the longest.
fn is_agreed_or_long(job: &Job, beam: &Record, sticks: &[DoneStick]) -> bool {
    let Some((long, _, agreed)) = beam_long(job, beam) else {
        return false;
    };
    if agreed {
        return true;
    }
    let clear = job.measured(&Spot::of(beam.id, What::ClearBetweenPosts));
    let more = clear.map_or(Length::ZERO, |clear| {
        let greatest = clear.all.iter().map(|one| one.value).max();
        greatest.unwrap_or(clear.value) - clear.value
    });
    sticks
        .iter()
        .all(|stick| is_long(stick, long + more + TRIM))
}

/// Whether all of a stick's pieces are the beam's, and each has this length of it.
fn is_long(stick: &DoneStick, each: Length) -> bool {
    let pieces = i64::try_from(stick.pieces.len()).unwrap_or(i64::MAX);
    match &stick.item {
        Item::Stick { length, .. } => {
            stick.others.is_empty() && pieces > 0 && *length >= each * pieces
        }
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::needs::testing::{Entry, id, job};
    use crate::needs::{StickClass, Treatment};
    use crate::units::{Section, parse_nominal};

    fn stick(inches: i64, n_64: u8) -> DoneStick {
        let class = StickClass {
            nominal: parse_nominal("2x12").unwrap(),
            dressed: Section {
                thickness: Length::inches_64(1, 32),
                depth: Length::inches_64(11, 16),
            },
            species: "Douglas Fir-Larch".to_owned(),
            grade: "No.2".to_owned(),
            treatment: Treatment::None,
        };
        let length = Length::inches(inches) + Length::from_64ths(i64::from(n_64));
        let key = crate::buy::PieceKey {
            change: id("beam"),
            slot: "ply".to_owned(),
            index: 0,
        };
        DoneStick {
            key: String::new(),
            is_here: true,
            item: Item::Stick { class, length },
            lies: String::new(),
            pieces: vec![(key, String::new())],
            others: Vec::new(),
            offcut: String::new(),
            left: None,
        }
    }

    /// Clear 140 in and 3 1/2 in of bearing at each end: 147 in.
    fn fits(readings: &[&str], stick: &DoneStick) -> bool {
        let beam = [
            ("nominal", "2x12"),
            ("plies", "1"),
            ("bearing_start", "3 1/2"),
            ("bearing_end", "3 1/2"),
        ];
        let taken: Vec<(String, [(&str, &str); 3])> = readings
            .iter()
            .enumerate()
            .map(|(n, raw)| {
                let fields = [
                    ("of", "@beam"),
                    ("what", "clear_between_posts"),
                    ("raw", *raw),
                ];
                (format!("reading {n}"), fields)
            })
            .collect();
        let mut all: Vec<Entry> = vec![("set_beam", "beam", &beam)];
        all.extend(
            taken
                .iter()
                .map(|(word, fields)| ("reading", &word[..], &fields[..])),
        );
        let job = job(&all);
        is_agreed_or_long(
            &job,
            job.get(id("beam")).unwrap(),
            std::slice::from_ref(stick),
        )
    }

    #[test]
    fn sticks_are_cut_to_readings_that_agree_or_an_inch_longer_than_the_longest_asks() {
        assert!(!fits(&[], &stick(192, 0)));
        // One reading: 147 in and an inch to trim.
        assert!(!fits(&["140"], &stick(147, 63)));
        assert!(fits(&["140"], &stick(148, 0)));
        // Two that agree: it may be cut as planned.
        assert!(fits(&["140", "140"], &stick(147, 0)));
        // Two that don't: the longer one asks for 148 in.
        assert!(!fits(&["141", "140"], &stick(148, 63)));
        assert!(fits(&["141", "140"], &stick(149, 0)));
        // Shared with another change, nobody knows what is left to trim.
        let mut shared = stick(192, 0);
        shared.others.push(shared.pieces[0].0.clone());
        assert!(!fits(&["140"], &shared));
    }
}
