//! How long pages of a large job take, from request to last byte: 2,000 members, 4,000 readings, 300 changes of all
//! kinds over twelve weeks.
//!
//! Cold: the first request after a write, so the job is read anew. Warm: the requests after. Median and worst of twenty,
//! and how many times the help page, which reads nothing, measured in the same run. It prints and judges nothing.
//! `cargo bench -p scantling-server --bench pages`

mod job;

use std::io::Write;
use std::path::Path;
use std::time::{Duration, Instant};

use scantling_db::Db;
use scantling_server::{Config, Limits, start};
use scantling_takeoff::{buy, checks, needs};

use self::job::{JOB, LAST_WEEK};

const TIMES: usize = 20;

fn main() {
    let folder = std::env::temp_dir().join(format!("scantling-bench-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("the temporary folder can be written");
    let mut out = std::io::stdout().lock();
    let written = measure(&folder, &mut out);
    std::fs::remove_dir_all(&folder).expect("it was made above");
    written.expect("standard output can be written");
}

fn measure(folder: &Path, out: &mut impl Write) -> std::io::Result<()> {
    let filled = Instant::now();
    let db = Db::open(folder).expect("a new data folder");
    let entries = job::fill(&db);
    writeln!(
        out,
        "{entries} entries applied in one transaction: {}",
        ms(filled.elapsed())
    )?;
    parts(&db, out)?;
    drop(db);

    let running = start(&Config {
        limits: Limits::none(),
        ..Config::on_loopback(folder.to_owned(), 0)
    })
    .expect("the server starts");
    let client = Client::sign_in(&running.origin, &running.fresh_code().expect("a code"));
    let week = format!("?week={LAST_WEEK}");
    let base = format!("/jobs/{JOB}");
    writeln!(
        out,
        "\n{:28}{:>10}{:>10}{:>10}{:>10}{:>9}{:>10}",
        "page", "cold", "worst", "warm", "worst", "× help", "bytes"
    )?;
    let help = median(
        &mut (0..TIMES)
            .map(|_| client.get("/help").0)
            .collect::<Vec<_>>(),
    );
    writeln!(out, "{:28}{:>10}{:>10}{:>10}", "help", "", "", ms(help.0))?;
    for (name, path) in [
        ("this week, last", format!("{base}{week}")),
        ("checks, last week", format!("{base}/checks{week}")),
        ("house", format!("{base}/house")),
        ("materials, first week", format!("{base}/materials?week=1")),
        ("materials, last week", format!("{base}/materials{week}")),
        ("cut list, last week", format!("{base}/cut-list{week}")),
        ("buy list, first week", format!("{base}/buy-list?week=1")),
        ("buy list, last week", format!("{base}/buy-list{week}")),
    ] {
        let (mut cold, mut warm, mut bytes) = (Vec::new(), Vec::new(), 0);
        for _ in 0..TIMES {
            client.write_note(&base);
            let (time, length) = client.get(&path);
            cold.push(time);
            bytes = length;
        }
        for _ in 0..TIMES {
            warm.push(client.get(&path).0);
        }
        let (cold, warm) = (median(&mut cold), median(&mut warm));
        let times = warm.0.as_micros() / help.0.as_micros().max(1);
        writeln!(
            out,
            "{name:28}{:>10}{:>10}{:>10}{:>10}{times:>9}{bytes:>10}",
            ms(cold.0),
            ms(cold.1),
            ms(warm.0),
            ms(warm.1)
        )?;
    }
    running.stop().expect("the server stops");
    Ok(())
}

/// What a page is made of, without server and page: reading the job, takeoff, plan, checks.
fn parts(db: &Db, out: &mut impl Write) -> std::io::Result<()> {
    let read = |db: &Db| {
        db.read(|tx| scantling_db::read_job(tx, JOB))
            .expect("the job can be read")
            .expect("it was added")
            .0
    };
    let job = read(db);
    let all: Vec<u32> = (1..=LAST_WEEK).collect();
    let mut part = |name: &str, work: &mut dyn FnMut()| {
        let mut times: Vec<Duration> = (0..TIMES)
            .map(|_| {
                let from = Instant::now();
                work();
                from.elapsed()
            })
            .collect();
        let (median, worst) = median(&mut times);
        writeln!(out, "{name:28}{:>10}{:>10}", ms(median), ms(worst))
    };
    part("read the job", &mut || drop(read(db)))?;
    part("takeoff, last week", &mut || {
        drop(needs::needs(&job, &[LAST_WEEK]));
    })?;
    part("takeoff, all weeks", &mut || drop(needs::needs(&job, &all)))?;
    part("buy list, first week", &mut || {
        drop(buy::buy_list(&job, &[1]));
    })?;
    part("buy list, last week", &mut || {
        drop(buy::buy_list(&job, &[LAST_WEEK]));
    })?;
    part("cut list, last week", &mut || {
        drop(buy::cut_list(&job, LAST_WEEK));
    })?;
    for week in [1, LAST_WEEK] {
        let changes = job.changes().into_iter();
        let changes: Vec<_> = changes.filter(|change| change.week() == week).collect();
        part(&format!("checks, week {week}"), &mut || {
            for change in &changes {
                drop(checks::of_change(&job, change));
            }
        })?;
    }
    part("checks, all weeks", &mut || drop(checks::of_job(&job)))
}

/// Median and worst.
fn median(times: &mut [Duration]) -> (Duration, Duration) {
    times.sort_unstable();
    let at = times.len().div_ceil(2).saturating_sub(1);
    (times[at], times.last().copied().unwrap_or_default())
}

/// `12.34 ms`.
fn ms(time: Duration) -> String {
    let hundredths = time.as_micros() / 10;
    format!("{}.{:02} ms", hundredths / 100, hundredths % 100)
}

struct Client {
    agent: ureq::Agent,
    origin: String,
    cookie: String,
}

impl Client {
    fn sign_in(origin: &str, code: &str) -> Self {
        let agent: ureq::Agent = ureq::Agent::config_builder()
            .http_status_as_error(false)
            .max_redirects(0)
            .build()
            .into();
        let answer = agent
            .post(format!("{origin}/sign-in"))
            .header("origin", origin)
            .send_form([("code", code)])
            .expect("the server answers");
        let cookie = answer
            .headers()
            .get("set-cookie")
            .and_then(|cookie| cookie.to_str().ok())
            .and_then(|cookie| cookie.split(';').next())
            .expect("a code signs in");
        Self {
            cookie: cookie.to_owned(),
            origin: origin.to_owned(),
            agent,
        }
    }

    /// How long a page took to its last byte, and how many bytes it has.
    fn get(&self, path: &str) -> (Duration, usize) {
        let from = Instant::now();
        let answer = self
            .agent
            .get(format!("{}{path}", self.origin))
            .header("cookie", &self.cookie)
            .call()
            .expect("the server answers");
        assert_eq!(answer.status().as_u16(), 200, "{path}");
        let body = answer
            .into_body()
            .with_config()
            .limit(100 * 1024 * 1024)
            .read_to_vec()
            .expect("a whole page");
        (from.elapsed(), body.len())
    }

    /// A write, after which the job is read anew.
    fn write_note(&self, base: &str) {
        let answer = self
            .agent
            .post(format!("{}{base}/note", self.origin))
            .header("cookie", &self.cookie)
            .header("origin", &self.origin)
            .send_form([("of", &*JOB.to_string()), ("text", "Looked at it")])
            .expect("the server answers");
        assert_eq!(answer.status().as_u16(), 303);
    }
}
