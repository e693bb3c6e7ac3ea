//! How much may come from one phone or one address.

use scantling_server::{Config, Limits};

use super::{Phone, json_of, text};
use crate::cli::{Folder, Serving};
use crate::forms::start_job;
use crate::support::TestServer;

fn limited(name: &str, limits: Limits) -> TestServer {
    TestServer::start_with(name, |folder| Config {
        limits,
        ..Config::on_loopback(folder, 0)
    })
}

#[test]
fn a_flood_of_one_address_is_told_to_wait_and_phones_go_on() {
    let server = limited(
        "flood",
        Limits {
            of_stranger: 5,
            ..Limits::none()
        },
    );
    let lead = server.lead();
    let stranger = server.stranger();
    let statuses: Vec<u16> = (0..8)
        .map(|_| stranger.get("/sync/v1/ping").status)
        .collect();
    assert_eq!(statuses[7], 429, "{statuses:?}");
    let answer = stranger.get("/sync/v1/ping");
    assert_eq!(text(&json_of(&answer)["code"]), "busy");
    let wait: u32 = answer.header("retry-after").unwrap().parse().unwrap();
    assert!((1..=11).contains(&wait), "{wait}");
    assert_eq!(lead.get("/").status, 200);
}

#[test]
fn a_phone_that_sends_too_often_waits_and_its_pages_still_open() {
    let server = limited(
        "often",
        Limits {
            of_sync: 3,
            ..Limits::none()
        },
    );
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street 12");
    let phone = Phone::new(&lead, &job);
    let empty = phone.batch(&[]);
    let statuses: Vec<u16> = (0..5).map(|_| phone.post(&empty).status).collect();
    assert_eq!(statuses, [200, 200, 200, 429, 429]);
    assert_eq!(lead.get(&job).status, 200);
}

#[test]
fn what_is_not_there_is_counted_too() {
    for path in ["/nothing-here", "/%6aobs"] {
        let server = limited(
            "nothing",
            Limits {
                of_stranger: 2,
                ..Limits::none()
            },
        );
        let stranger = server.stranger();
        let statuses: Vec<u16> = (0..4).map(|_| stranger.get(path).status).collect();
        assert_eq!(statuses, [404, 404, 429, 429], "{path}");
    }
}

#[test]
fn one_address_opens_so_many_connections_and_no_more() {
    use std::io::{Read as _, Write as _};
    use std::net::TcpStream;
    let server = limited(
        "connections",
        Limits {
            of_address: 3,
            ..Limits::none()
        },
    );
    let host = server.origin.trim_start_matches("http://").to_owned();
    let connect = || TcpStream::connect(&host).unwrap();
    // What the server says to a request, or that it closed the connection.
    let ask = |stream: &mut TcpStream| {
        let request = format!("GET /sync/v1/ping HTTP/1.1\r\nHost: {host}\r\n\r\n");
        let mut head = [0_u8; 12];
        let answered = stream
            .write_all(request.as_bytes())
            .and_then(|()| stream.read_exact(&mut head));
        match answered {
            Ok(()) => String::from_utf8_lossy(&head[9..]).into_owned(),
            Err(_) => "closed".to_owned(),
        }
    };
    // Three that say nothing are open all the same.
    let mut idle: Vec<TcpStream> = (0..3).map(|_| connect()).collect();
    let asked: Vec<String> = idle.iter_mut().map(ask).collect();
    assert_eq!(asked, ["200", "200", "200"]);
    assert_eq!(ask(&mut connect()), "closed");
    // One that goes makes room for another.
    drop(idle.pop());
    while ask(&mut connect()) != "200" {}
}

#[test]
fn only_loopback_listens_unless_it_is_asked_for() {
    let folder = Folder::new("sockets");
    let serving = Serving::start(&folder.at("data"));
    let port: u16 = serving.origin.rsplit(':').next().unwrap().parse().unwrap();
    // every socket of the program, whatever its port
    let listening = listening(serving.id());
    assert_eq!(listening, [("0100007F".to_owned(), port)]);
}

/// Address (hexadecimal, as the kernel writes it) and port of every listening socket of a process.
fn listening(process: u32) -> Vec<(String, u16)> {
    let own: Vec<String> = std::fs::read_dir(format!("/proc/{process}/fd"))
        .unwrap()
        .filter_map(|entry| std::fs::read_link(entry.ok()?.path()).ok())
        .filter_map(|link| {
            let link = link.to_str()?;
            Some(link.strip_prefix("socket:[")?.strip_suffix(']')?.to_owned())
        })
        .collect();
    let mut all = Vec::new();
    for table in ["tcp", "tcp6"] {
        let text =
            std::fs::read_to_string(format!("/proc/{process}/net/{table}")).unwrap_or_default();
        for line in text.lines().skip(1) {
            let fields: Vec<&str> = line.split_whitespace().collect();
            if fields[3] != "0A" || !own.contains(&fields[9].to_owned()) {
                continue;
            }
            let (address, port) = fields[1].split_once(':').unwrap();
            all.push((address.to_owned(), u16::from_str_radix(port, 16).unwrap()));
        }
    }
    all
}
