//! `scantling demo`: an invented house, its week's buy list, and a server for it.

use std::path::PathBuf;

use scantling_db::{Applied, Db, Tx, Who};
use scantling_takeoff::buy::OrderLine;
use scantling_takeoff::record::{Op, Role};
use time::Date;

use super::{Failed, say, serve, takeoff};
use crate::clock;
use crate::files::order::papers;
use crate::pages::shell;

/// What its help ends with.
pub(super) const EXAMPLES: &str = "\
Example: scantling demo --data try-out --no-serve";

/// Its arguments.
#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The data folder; filled only if it holds no job yet.
    #[arg(long, default_value = "scantling-demo")]
    data: PathBuf,
    /// The port on loopback; 0 takes a free one.
    #[arg(long, default_value_t = 8080)]
    port: u16,
    /// Fill and print, but don't serve.
    #[arg(long)]
    no_serve: bool,
    #[command(flatten)]
    beyond: serve::Beyond,
}

/// Runs it.
pub(super) fn run(arguments: &Arguments) -> Result<(), Failed> {
    {
        let db = crate::folder::open(&arguments.data)?;
        if db.read(scantling_db::jobs)?.is_empty() {
            fill(&db, clock::today())?;
        }
        let jobs = db.read(scantling_db::jobs)?;
        if let Some(id) = jobs.first().map(|job| job.id)
            && let Some((job, _)) = db.read(move |tx| scantling_db::read_job(tx, id))?
        {
            let week = shell::week_now(&job, clock::today());
            say(&format!(
                "{}, work week {week}: still to buy\n",
                shell::name(&job)
            ))?;
            say(&takeoff::buy_list_text(&job, &[week]))?;
        }
    }
    if arguments.no_serve {
        Ok(())
    } else {
        serve::serve(&arguments.data, arguments.port, &arguments.beyond)
    }
}

/// Applies the demo's entries, as if they had been typed.
pub(crate) fn fill(db: &Db, today: Date) -> Result<(), Failed> {
    let (person, device) = (scantling_seed_demo::lead(), scantling_seed_demo::device());
    let who = Who {
        person,
        role: Role::Lead,
        device,
    };
    let mut ops = scantling_seed_demo::entries(person, device, today);
    let now = clock::now();
    db.write(move |tx| {
        scantling_db::add_person(tx, person, scantling_seed_demo::LEAD, Role::Lead)?;
        scantling_db::add_device(tx, device, person, "Demo", None, &now)?;
        for op in &mut ops {
            if op.kind == "order.send" {
                with_papers(tx, op)?;
            }
            let outcome = scantling_db::apply(tx, op, &who, &op.device_time)?;
            if let Applied::Rejected { problems, .. } = outcome {
                return Err(broken(op, &format!("{problems:?}")));
            }
        }
        Ok(())
    })?;
    Ok(())
}

/// The papers of an order that is sent, made of its lines as its form makes them.
fn with_papers(tx: &Tx<'_>, op: &mut Op) -> Result<(), scantling_db::Error> {
    let texts = |name: &str| op.fields.get(name).map_or(&[][..], Vec::as_slice);
    let lines: Vec<OrderLine> = texts("line")
        .iter()
        .filter_map(|text| OrderLine::from_text(text).ok())
        .collect();
    let day = texts("sent").first().map_or("", String::as_str);
    let job = scantling_db::read_job(tx, op.job_id)?;
    let made = job.as_ref().and_then(|(job, _)| {
        let order = job.get(op.entity_id)?;
        papers(job, order, &lines, day).ok()
    });
    let made = made.ok_or_else(|| broken(op, "no papers"))?;
    for (name, text) in [
        ("csv", made.csv),
        ("text", made.text),
        ("print", made.print),
    ] {
        op.fields.insert(name.to_owned(), vec![text]);
    }
    Ok(())
}

fn broken(op: &Op, why: &str) -> scantling_db::Error {
    scantling_db::Error::Stored {
        what: "demo entry",
        value: format!("{} {}: {why}", op.kind, op.entity_id),
    }
}
