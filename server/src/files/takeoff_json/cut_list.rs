//! Cut lists as JSON, a list a week.

use scantling_takeoff::buy::{CutPiece, CutStick, buy_list, cut_list};
use scantling_takeoff::record::Job;
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
    /// What no stick or sheet known holds, in words.
    unmet: Vec<String>,
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
        .map(|week| WeekCuts {
            week: *week,
            sticks: cut_list(job, *week)
                .sticks
                .into_iter()
                .map(|stick| stick_of(job, stick))
                .collect(),
            unmet: buy_list(job, &[*week]).unmet,
        })
        .collect();
    document(job, weeks, "cut-list", CutListBody { lists })
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
        lies_at: piece.place.map(|place| LiesAt {
            along_from_64: place.x.as_64ths(),
            across_from_64: place.y.as_64ths(),
            along_64: place.along.as_64ths(),
            across_64: place.across.as_64ths(),
        }),
        crown_up: piece.crown_up,
        held: piece.held,
    }
}
