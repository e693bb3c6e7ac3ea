//! What phones sent from their outboxes: the answer to each entry, kept so that sending it again gives the same, and
//! what the phone's own count and clock say about when it was written.

use rusqlite::{OptionalExtension, Transaction};
use scantling_takeoff::record::op::Blob;
use uuid::Uuid;

use crate::error::{failed, parse, uuid};
use crate::{Error, moment};

/// A clock that is off by more, or that moved by more between two sendings, isn't relied on. In seconds.
///
/// Source: common practice, no published source.
pub const CLOCK_TOLERANCE_S: i64 = 120;

/// An answered entry of a phone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sent {
    /// The entry.
    pub op_id: Uuid,
    /// The phone.
    pub device: Uuid,
    /// The phone's own count, from 1.
    pub device_seq: i64,
    /// The hash of what it says.
    pub hash: String,
    /// `applied`, `conflict` or `rejected`.
    pub status: String,
    /// The answer, as JSON.
    pub answer: String,
    /// When it was written, by the phone's clock, in the stored form.
    pub device_time: String,
    /// The server's clock less the phone's, when it was sent, in seconds.
    pub clock_skew_s: i64,
    /// When it came.
    pub received_at: String,
}

/// When an entry was written, as far as can be told.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Written {
    /// By the phone's clock, in the stored form.
    pub device_time: String,
    /// By the server's clock, never later than the arrival.
    pub taken_at: String,
    /// How far the phone's clock was off, where its time isn't relied on.
    pub clock_off_s: Option<i64>,
}

/// The clock of a phone as it was at an earlier sending.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Clock {
    /// When the entry before was written, by the phone's clock.
    pub device_time: String,
    /// The skew of that sending, in seconds.
    pub skew_s: i64,
}

/// The server's clock less the phone's, in seconds; none where a time can't be read.
pub fn skew_s(server_time: &str, device_time: &str) -> Option<i64> {
    moment::seconds_between(&moment::read(device_time)?, &moment::read(server_time)?)
}

/// When an entry was written: its own time corrected by the skew, never after its arrival. The time isn't relied on where
/// the clock is off by over two minutes, where it moved by over two minutes since the sending before, or where it went
/// backwards between two entries of the phone. None where the time can't be read.
pub fn written(
    device_time: &str,
    skew_s: i64,
    received_at: &str,
    before: Option<&Clock>,
) -> Option<Written> {
    let device_time = moment::read(device_time)?;
    let corrected = moment::after(&device_time, skew_s.checked_mul(1_000)?)?;
    let moved = before.is_some_and(|before| {
        (before.skew_s - skew_s).abs() > CLOCK_TOLERANCE_S || device_time < before.device_time
    });
    Some(Written {
        taken_at: corrected.min(received_at.to_owned()),
        clock_off_s: (skew_s.abs() > CLOCK_TOLERANCE_S || moved).then_some(skew_s),
        device_time,
    })
}

/// The answer that an entry got, with the phone that sent it and the hash of what it said.
///
/// # Errors
/// Those of SQLite.
pub fn sent(tx: &Transaction<'_>, op_id: Uuid) -> Result<Option<Sent>, Error> {
    let found = tx
        .prepare_cached(
            "SELECT device_id, device_seq, hash, status, answer, device_time, clock_skew_seconds, received_at
             FROM sent WHERE op_id = ?1",
        )
        .and_then(|mut statement| {
            statement
                .query_row([op_id.to_string()], |row| {
                    let device: String = row.get(0)?;
                    Ok((
                        device,
                        Sent {
                            op_id,
                            device: Uuid::nil(),
                            device_seq: row.get(1)?,
                            hash: row.get(2)?,
                            status: row.get(3)?,
                            answer: row.get(4)?,
                            device_time: row.get(5)?,
                            clock_skew_s: row.get(6)?,
                            received_at: row.get(7)?,
                        },
                    ))
                })
                .optional()
        })
        .map_err(failed("look up what a phone sent"))?;
    found
        .map(|(device, sent)| {
            Ok(Sent {
                device: uuid(&device)?,
                ..sent
            })
        })
        .transpose()
}

/// Keeps an answer.
///
/// # Errors
/// Those of SQLite; an entry that was answered before.
pub fn keep_sent(tx: &Transaction<'_>, sent: &Sent) -> Result<(), Error> {
    tx.prepare_cached(
        "INSERT INTO sent (op_id, device_id, device_seq, hash, status, answer, device_time, clock_skew_seconds,
           received_at)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
    )
    .and_then(|mut statement| {
        statement.execute((
            sent.op_id.to_string(),
            sent.device.to_string(),
            sent.device_seq,
            &sent.hash,
            &sent.status,
            &sent.answer,
            &sent.device_time,
            sent.clock_skew_s,
            &sent.received_at,
        ))
    })
    .map_err(failed("keep the answer to a phone"))?;
    Ok(())
}

/// The phone's clock at its latest entry by its own count, and that count; none where it sent none.
///
/// # Errors
/// Those of SQLite.
pub fn clock_of(tx: &Transaction<'_>, device: Uuid) -> Result<Option<(i64, Clock)>, Error> {
    tx.prepare_cached(
        "SELECT device_seq, device_time, clock_skew_seconds
         FROM sent
         WHERE device_id = ?1
         ORDER BY device_seq DESC
         LIMIT 1",
    )
    .and_then(|mut statement| {
        statement
            .query_row([device.to_string()], |row| {
                Ok((
                    row.get(0)?,
                    Clock {
                        device_time: row.get(1)?,
                        skew_s: row.get(2)?,
                    },
                ))
            })
            .optional()
    })
    .map_err(failed("read a phone's clock"))
}

/// Whether an entry of this id was ever answered, or is in the record.
///
/// # Errors
/// Those of SQLite.
pub fn is_known(tx: &Transaction<'_>, op_id: Uuid) -> Result<bool, Error> {
    tx.prepare_cached(
        "SELECT EXISTS (SELECT 1 FROM sent WHERE op_id = ?1) OR EXISTS (SELECT 1 FROM op WHERE op_id = ?1)",
    )
    .and_then(|mut statement| statement.query_row([op_id.to_string()], |row| row.get(0)))
    .map_err(failed("look up an entry"))
}

/// Who wrote the entry of this id, and of what kind it is, if it is in the record.
///
/// # Errors
/// Those of SQLite.
pub fn written_as(tx: &Transaction<'_>, op_id: Uuid) -> Result<Option<(Uuid, String)>, Error> {
    let found: Option<(String, String)> = tx
        .prepare_cached("SELECT author_id, kind FROM op WHERE op_id = ?1")
        .and_then(|mut statement| {
            statement
                .query_row([op_id.to_string()], |row| Ok((row.get(0)?, row.get(1)?)))
                .optional()
        })
        .map_err(failed("look up who wrote an entry"))?;
    found
        .map(|(author, kind)| Ok((uuid(&author)?, kind)))
        .transpose()
}

/// Which of these things are not in the record.
///
/// # Errors
/// Those of SQLite.
pub fn missing_things(tx: &Transaction<'_>, things: &[Uuid]) -> Result<Vec<Uuid>, Error> {
    let mut statement = tx
        .prepare_cached(
            "SELECT EXISTS (SELECT 1 FROM entity WHERE id = ?1) OR EXISTS (SELECT 1 FROM op WHERE op_id = ?1)",
        )
        .map_err(failed("look up things"))?;
    let mut missing = Vec::new();
    for id in things {
        let is_there: bool = statement
            .query_row([id.to_string()], |row| row.get(0))
            .map_err(failed("look up things"))?;
        if !is_there {
            missing.push(*id);
        }
    }
    Ok(missing)
}

/// A photo's entry whose picture is named.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PhotoEntry {
    /// The entry.
    pub op_id: Uuid,
    /// The job.
    pub job_id: Uuid,
    /// The photo.
    pub photo: Uuid,
    /// On which phone it was written.
    pub device: Uuid,
    /// By whom.
    pub author: Uuid,
    /// Its picture, as the phone described it.
    pub picture: Blob,
}

/// Pictures that a person's entries name and that are not here, at most so many: those written on this device first, then
/// oldest first. A phone that was let in anew is another device, and has the same pictures.
///
/// # Errors
/// Those of SQLite.
pub fn wanted_pictures(
    tx: &Transaction<'_>,
    author: Uuid,
    device: Uuid,
    most: usize,
) -> Result<Vec<PhotoEntry>, Error> {
    let mut all = photo_entries(
        tx,
        "SELECT op_id, job_id, entity_id, blobs, device_id, author_id
         FROM op
         WHERE author_id = ?1 AND kind = 'photo.add' AND outcome = 'applied' AND blobs IS NOT NULL
           AND NOT EXISTS (SELECT 1 FROM blob WHERE blob.photo_id = op.entity_id)
         ORDER BY seq",
        author,
    )?;
    all.sort_by_key(|entry| entry.device != device);
    all.truncate(most);
    Ok(all)
}

/// The photo's entry that names this picture, on whichever phone it was written.
///
/// # Errors
/// Those of SQLite.
pub fn photo_entry(tx: &Transaction<'_>, picture: Uuid) -> Result<Option<PhotoEntry>, Error> {
    let all = photo_entries(
        tx,
        "SELECT op_id, job_id, entity_id, blobs, device_id, author_id
         FROM op
         WHERE kind = 'photo.add' AND outcome = 'applied' AND instr(blobs, ?1) > 0
         ORDER BY seq",
        picture,
    )?;
    Ok(all
        .into_iter()
        .find(|entry| entry.picture.blob_id == picture))
}

fn photo_entries(tx: &Transaction<'_>, sql: &str, of: Uuid) -> Result<Vec<PhotoEntry>, Error> {
    let doing = "read which pictures are named";
    let mut statement = tx.prepare_cached(sql).map_err(failed(doing))?;
    let mut rows = statement.query([of.to_string()]).map_err(failed(doing))?;
    let mut all = Vec::new();
    while let Some(row) = rows.next().map_err(failed(doing))? {
        let get = |column: usize| row.get::<_, String>(column).map_err(failed(doing));
        let blobs: Vec<Blob> = parse("entry's pictures", &get(3)?)?;
        for picture in blobs {
            all.push(PhotoEntry {
                op_id: uuid(&get(0)?)?,
                job_id: uuid(&get(1)?)?,
                photo: uuid(&get(2)?)?,
                device: uuid(&get(4)?)?,
                author: uuid(&get(5)?)?,
                picture,
            });
        }
    }
    Ok(all)
}

#[cfg(test)]
mod tests {
    use super::*;

    const ARRIVED: &str = "2026-11-25T12:00:00.000Z";

    #[test]
    fn a_time_is_corrected_by_the_skew_and_never_later_than_its_arrival() {
        let written = |time, skew| written(time, skew, ARRIVED, None).unwrap();
        let right = written("2026-11-25T11:00:00.000Z", 30);
        assert_eq!(
            (right.taken_at.as_str(), right.clock_off_s),
            ("2026-11-25T11:00:30.000Z", None)
        );
        let ahead = written("2026-11-25T12:00:10.000Z", 0);
        assert_eq!(
            (ahead.taken_at.as_str(), ahead.clock_off_s),
            (ARRIVED, None)
        );
        let years = written("2031-11-25T11:00:00.000Z", -5 * 365 * 86_400);
        assert_eq!(years.clock_off_s, Some(-157_680_000));
        assert_eq!(years.taken_at, ARRIVED);
        assert_eq!(super::written("yesterday", 0, ARRIVED, None), None);
    }

    #[test]
    fn a_clock_that_moved_or_went_back_is_not_relied_on() {
        let before = |time: &str, skew_s| Clock {
            device_time: time.to_owned(),
            skew_s,
        };
        let off = |before: &Clock| {
            written("2026-11-25T11:00:00.000Z", 100, ARRIVED, Some(before))
                .unwrap()
                .clock_off_s
        };
        assert_eq!(off(&before("2026-11-25T10:59:00.000Z", 90)), None);
        assert_eq!(off(&before("2026-11-25T10:59:00.000Z", -21)), Some(100));
        assert_eq!(off(&before("2026-11-25T11:00:00.001Z", 100)), Some(100));
    }

    #[test]
    fn the_skew_is_the_servers_clock_less_the_phones() {
        assert_eq!(
            skew_s("2026-11-25T12:00:00.000Z", "2026-11-25T11:58:30.400Z"),
            Some(89)
        );
        assert_eq!(
            skew_s("2026-11-25T12:00:00.000Z", "2026-11-25T07:00:10-05:00"),
            Some(-10)
        );
    }
}
