//! Cut lists as JSON, a list a week.

use scantling_takeoff::buy::{CutPiece, CutStick, LeastCost, Spare, cut_list};
use scantling_takeoff::cutting::panels::SheetCut;
use scantling_takeoff::cutting::panels::least_cost::Way;
use scantling_takeoff::record::Job;
use scantling_takeoff::units::Length;
use serde::Serialize;
use uuid::Uuid;

use super::{ClassParts, Document, Named, document, parts, size_of};

/// Which piece comes from which stick, a list a week.
#[derive(Debug, Serialize)]
pub(crate) struct CutListBody<'a> {
    lists: Vec<WeekCuts<'a>>,
}

#[derive(Debug, Serialize)]
struct WeekCuts<'a> {
    week: u32,
    /// Those here first, then those to buy.
    sticks: Vec<Stick<'a>>,
    /// Sticks and sheets for waste: nothing is cut from them as long as all goes well.
    spare: Vec<ForWaste>,
    /// How cheap what is to be bought for these pieces is, class by class.
    least: Vec<Least<'a>>,
    /// What no stick or sheet known holds, in words.
    unmet: Vec<String>,
}

#[derive(Debug, Serialize)]
struct ForWaste {
    item: String,
    /// Of these, here or ordered.
    here: i64,
    to_buy: i64,
}

/// Of one class, without what is bought for waste.
#[derive(Debug, Serialize)]
struct Least<'a> {
    class: ClassParts<'a>,
    /// Sticks or sheets to be bought.
    count: i64,
    /// Of these, without a price: then nothing is claimed.
    unpriced: i64,
    cost_cents: i64,
    /// No way of cutting these pieces costs less: the same as the cost where that is proven to be the least.
    lower_bound_cents: i64,
    /// What cutting longest first costs; none where that doesn't cut all.
    longest_first_cents: Option<i64>,
}

#[derive(Debug, Serialize)]
struct Stick<'a> {
    /// Its row on hand; none where it is to be bought.
    row: Option<Uuid>,
    section: &'static str,
    item: String,
    class: ClassParts<'a>,
    /// A stick's length; a panel's side along the strength axis.
    length_64: i64,
    /// A panel's other side.
    across_64: Option<i64>,
    /// Where it lies; empty where nobody said.
    lies: String,
    /// Cut off first.
    trim_64: i64,
    /// In cutting order.
    pieces: Vec<Piece<'a>>,
    /// A panel's cuts in order; none of a stick, and of a panel that straight cuts don't take apart.
    cuts: Vec<Cut>,
    /// A stick's rest behind the last piece.
    left_64: i64,
    /// Whether the rest is kept.
    keep: bool,
}

#[derive(Debug, Serialize)]
struct Piece<'a> {
    /// What is written on it; empty for what isn't marked.
    mark: String,
    title: String,
    change: Named<'a>,
    week: u32,
    slot: String,
    length_64: i64,
    /// A panel piece's other side.
    across_64: Option<i64>,
    /// On a stick: where it ends, from the zero end.
    ends_at_64: Option<i64>,
    /// On a panel: where it lies.
    lies_at: Option<LiesAt>,
    crown_up: bool,
    /// Why not to cut it yet.
    held: Option<String>,
}

/// One straight cut through a part of a panel that the cuts before it have freed.
#[derive(Debug, Serialize)]
struct Cut {
    /// `crosscut`: the saw runs across the strength axis; `rip`: along it.
    way: &'static str,
    part: LiesAt,
    /// The mark, from the part's own edge next to the zero corner; the saw runs behind it.
    at_64: i64,
    /// Pieces before the mark, by their places among the panel's pieces, from 0.
    before: Vec<usize>,
    /// Pieces behind the saw.
    behind: Vec<usize>,
}

/// Where a piece lies on a panel, from the corner where both are zero: begin and reach along the strength axis and across.
#[derive(Debug, Serialize)]
struct LiesAt {
    along_from_64: i64,
    across_from_64: i64,
    along_64: i64,
    across_64: i64,
}

/// The cut lists, week by week.
pub(crate) fn cut_list_document<'a>(
    job: &'a Job,
    weeks: &'a [u32],
) -> Document<'a, CutListBody<'a>> {
    let lists = weeks
        .iter()
        .map(|week| {
            let list = cut_list(job, *week);
            let sticks = list.sticks.into_iter();
            WeekCuts {
                week: *week,
                sticks: sticks.map(|stick| stick_of(job, stick)).collect(),
                spare: list
                    .spare
                    .iter()
                    .map(|spare| spare_of(job, spare))
                    .collect(),
                least: list
                    .least
                    .into_iter()
                    .map(|one| least_of(job, one))
                    .collect(),
                unmet: list.unmet,
            }
        })
        .collect();
    document(job, weeks, "cut-list", CutListBody { lists })
}

fn spare_of(job: &Job, spare: &Spare) -> ForWaste {
    ForWaste {
        item: spare.item.words(job),
        here: spare.here,
        to_buy: spare.to_buy,
    }
}

fn least_of(job: &Job, one: LeastCost) -> Least<'_> {
    Least {
        count: one.count,
        unpriced: one.unpriced,
        cost_cents: one.cost.as_cents(),
        lower_bound_cents: one.least.as_cents(),
        longest_first_cents: one.longest_first.map(|(cost, _)| cost.as_cents()),
        class: parts(job, one.class),
    }
}

fn cut_of(cut: SheetCut) -> Cut {
    Cut {
        way: match cut.way {
            Way::Crosscut => "crosscut",
            Way::Rip => "rip",
        },
        part: lies_at([cut.part.x, cut.part.y], [cut.part.along, cut.part.across]),
        at_64: cut.at.as_64ths(),
        before: cut.before,
        behind: cut.behind,
    }
}

fn lies_at([x, y]: [Length; 2], [along, across]: [Length; 2]) -> LiesAt {
    LiesAt {
        along_from_64: x.as_64ths(),
        across_from_64: y.as_64ths(),
        along_64: along.as_64ths(),
        across_64: across.as_64ths(),
    }
}

fn stick_of(job: &Job, stick: CutStick) -> Stick<'_> {
    let (length, across) = size_of(&stick.item);
    Stick {
        row: stick.row.filter(|_| !stick.ordered),
        section: stick.item.section(),
        item: stick.item.words(job),
        class: parts(job, stick.item.class()),
        length_64: length.unwrap_or(0),
        across_64: across,
        lies: stick.lies,
        trim_64: stick.trim.as_64ths(),
        pieces: stick
            .pieces
            .into_iter()
            .map(|piece| piece_of(job, piece))
            .collect(),
        cuts: stick
            .sawing
            .into_iter()
            .flat_map(|sawing| sawing.cuts)
            .map(cut_of)
            .collect(),
        left_64: stick.left.as_64ths(),
        keep: stick.keep,
    }
}

fn piece_of(job: &Job, piece: CutPiece) -> Piece<'_> {
    let on_panel = piece.place.is_some();
    Piece {
        mark: piece.mark,
        title: piece.title,
        change: Named {
            id: piece.change,
            name: job.name(piece.change),
        },
        week: piece.week,
        slot: piece.key.slot,
        length_64: piece.length.as_64ths(),
        across_64: on_panel.then(|| piece.across.as_64ths()),
        ends_at_64: (!on_panel).then(|| piece.ends_at.as_64ths()),
        lies_at: piece
            .place
            .map(|place| lies_at([place.x, place.y], [place.along, place.across])),
        crown_up: piece.crown_up,
        held: piece.held,
    }
}
