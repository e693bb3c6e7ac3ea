//! The form that chooses a supplier's CSV columns: a place and a heading for each column become one list.

use std::collections::BTreeMap;

use actix_web::{HttpResponse, web};
use scantling_db::Who;
use scantling_takeoff::record::{FieldProblem, Kind, choices, registry};
use uuid::Uuid;

use super::compose::{self, Frame, Posted};
use super::save::save;
use crate::error::{HttpError, refused, see};
use crate::pages::supplier as page;
use crate::state::State;

/// Saves them.
pub(crate) async fn columns(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    path: web::Path<(Uuid, Uuid)>,
    body: web::Form<Vec<(String, String)>>,
) -> Result<HttpResponse, HttpError> {
    let (job_id, id) = path.into_inner();
    let job = state.job(job_id).await?;
    let record = page::supplier(&job, id)?;
    let posted = Posted(body.into_inner());
    let edits = registry::edits(Kind::Supplier).ok_or(HttpError::NotFound)?;
    let home = format!("/jobs/{job_id}/supplier/{id}#csv");
    let problems = match in_order(&posted) {
        Err(problems) => problems,
        Ok(columns) => {
            let mut listed = posted.clone();
            for (column, heading) in columns {
                listed.0.push(("order_columns".to_owned(), column));
                listed.0.push(("order_headings".to_owned(), heading));
            }
            let frame = Frame::of(&posted, job_id, &who);
            let Some(entry) = compose::editing(edits, id, &listed, &frame) else {
                return Ok(see(&home));
            };
            match save(&state, vec![entry], &who).await?.or_problems() {
                Ok(()) => return Ok(see(&home)),
                Err(problems) => problems,
            }
        }
    };
    let job = state.job(job_id).await?;
    let record = job.get(id).unwrap_or(record);
    Ok(refused(
        page::columns_page(&state, &job, record, Some(&posted), &problems).await?,
    ))
}

/// The columns that have a place, in order, each with its heading; without one, its own word.
fn in_order(posted: &Posted) -> Result<Vec<(String, String)>, Vec<FieldProblem>> {
    let mut placed: BTreeMap<u32, (&str, String)> = BTreeMap::new();
    let mut problems = Vec::new();
    for (word, shown) in choices::ORDER_COLUMNS {
        let name = format!("place.{word}");
        let Some(place) = posted.typed(&name).filter(|place| *place != page::LEFT_OUT) else {
            continue;
        };
        let mut problem = |message: String| {
            problems.push(FieldProblem {
                field: name.clone(),
                message,
            });
        };
        let Ok(at) = place.parse::<u32>() else {
            problem(format!(
                "{place} is no place. Choose one of the list, as in 1."
            ));
            continue;
        };
        let heading = posted.typed(&format!("heading.{word}")).unwrap_or(word);
        if let Some((other, _)) = placed.get(&at) {
            let other = choices::ORDER_COLUMNS
                .iter()
                .find(|(stored, _)| stored == other)
                .map_or(*other, |(_, shown)| shown);
            problem(format!(
                "{shown} and {other} both stand in place {at}. Give one of them another."
            ));
            continue;
        }
        placed.insert(at, (word, heading.to_owned()));
    }
    if problems.is_empty() {
        Ok(placed
            .into_values()
            .map(|(word, heading)| (word.to_owned(), heading))
            .collect())
    } else {
        Err(problems)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn posted(fields: &[(&str, &str)]) -> Posted {
        Posted(
            fields
                .iter()
                .map(|(name, text)| ((*name).to_owned(), (*text).to_owned()))
                .collect(),
        )
    }

    #[test]
    fn columns_come_by_their_places_and_gaps_close() {
        let form = posted(&[
            ("place.item", "7"),
            ("heading.item", "Description"),
            ("place.quantity", "2"),
            ("heading.quantity", " "),
            ("place.unit", "0"),
        ]);
        let pair = |column: &str, heading: &str| (column.to_owned(), heading.to_owned());
        assert_eq!(
            in_order(&form),
            Ok(vec![
                pair("quantity", "quantity"),
                pair("item", "Description")
            ])
        );
    }

    #[test]
    fn two_columns_in_one_place_are_named() {
        let form = posted(&[("place.item", "1"), ("place.quantity", "1")]);
        let problems = in_order(&form).unwrap_err();
        assert_eq!(problems.len(), 1);
        assert_eq!(problems[0].field, "place.quantity");
        assert!(problems[0].message.contains("Item in words"));
    }
}
