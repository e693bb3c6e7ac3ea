//! Every kind of entry × every role below its least: refused where it is applied, whatever page or import sent it.

use scantling_db::{Applied, Code, Db, Who, add_device, add_person, apply};
use scantling_takeoff::record::registry::OP_KINDS;
use scantling_takeoff::record::{Op, Role};
use uuid::Uuid;

const NOW: &str = "2026-11-25T07:13:30.938Z";
const ROLES: [Role; 4] = [Role::Stranger, Role::Guest, Role::Crew, Role::Lead];

/// What becomes of an empty entry of this kind, sent by this role, about a thing that isn't there.
fn answer(db: &Db, kind: &str, role: Role) -> Applied {
    let name = format!("{kind} {}", role.name());
    let id = |word: &str| Uuid::new_v5(&Uuid::NAMESPACE_OID, format!("{name} {word}").as_bytes());
    let who = Who {
        person: id("person"),
        role,
        device: id("device"),
    };
    let op = Op {
        op_id: id("entry"),
        author: who.person,
        device: who.device,
        job_id: id("job"),
        kind: kind.to_owned(),
        entity_id: id("thing"),
        device_time: NOW.to_owned(),
        ..Op::default()
    };
    db.write(move |tx| {
        add_person(tx, who.person, "Ann", Role::Guest)?;
        add_device(tx, who.device, who.person, "Phone", None, NOW)?;
        apply(tx, &op, &who, NOW)
    })
    .unwrap()
}

#[test]
fn no_kind_of_entry_is_taken_from_a_role_below_its_least() {
    let db = Db::in_memory().unwrap();
    for kind in OP_KINDS {
        assert!(kind.least > Role::Guest, "{}: a guest writes", kind.name);
        for role in ROLES {
            let answer = answer(&db, kind.name, role);
            let refused = matches!(
                &answer,
                Applied::Rejected {
                    code: Code::NotAllowed,
                    ..
                }
            );
            assert_eq!(
                refused,
                role < kind.least,
                "{} by a {}: {answer:?}",
                kind.name,
                role.name()
            );
            if let Applied::Rejected { problems, .. } = answer
                && refused
            {
                let who = format!("Only a {} can do this", kind.least.name());
                assert!(problems[0].message.contains(&who), "{problems:?}");
            }
        }
    }
}
