//! What a beam waits for, and what shoring waits for of the beam: lumber here, people, posts, packing, hangers, struts.

use super::{Asked, Fix, Found, listed, names, said};
use crate::checks::{CheckKind, Verdict};
use crate::needs::{self, Fill};
use crate::record::{Kind, Record};

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
                let of = beam.id;
                let fill = Fill::Field {
                    of,
                    field: "raised_whole",
                };
                return Found::no(format!("{}: {stop}", beam.name()), Fix::Fill(fill)).on(facts);
            }
            let form = crate::buy::done_form(self.job, beam.id);
            let away = form.sticks.iter().filter(|stick| !stick.is_here).count();
            if away > 0 || form.sticks.is_empty() {
                let why = format!("{}: its lumber is not here yet", beam.name());
                return Found::no(why, Fix::Buy(beam.id)).on(facts);
            }
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

    /// Packing under the posts is set.
    pub(super) fn packing(&self) -> Found {
        if let Some(pack) = self.line.packs.iter().find(|pack| pack.state != "done") {
            let why = format!("{} is not set yet", pack.name());
            return Found::no(why, Fix::Finish(pack.id));
        }
        let fields = ["nominal", "count", "length", "thickness", "on_end"];
        let facts = self.line.packs.iter();
        let facts: Vec<String> = facts.map(|pack| said(self.job, pack, &fields)).collect();
        let why = if facts.is_empty() {
            "none is planned"
        } else {
            "set"
        };
        Found::yes(why).on(facts)
    }

    /// Every post has a place and something recorded that it lands on.
    pub(super) fn landings(&self) -> Found {
        let fields = ["place", "lands", "stands_on", "floor", "nominal"];
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
            if let Some((_, stop)) = self.not_cleared(post, CheckKind::Landing) {
                let of = post.id;
                let fill = Fill::Field { of, field: "place" };
                return Found::no(format!("{}: {stop}", post.name()), Fix::Fill(fill));
            }
            facts.push(said(self.job, post, &fields));
        }
        Found::yes("recorded for each post").on(facts)
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
        crate::checks::fits_of_change(self.job, change)
            .into_iter()
            .filter(|check| check.kind == kind && check.verdict >= Verdict::CantTellYet)
            .max_by_key(|check| check.verdict)
            .map(|check| {
                let sentence = check.sentence.trim_end_matches('.').to_owned();
                (check.verdict, sentence)
            })
    }
}
