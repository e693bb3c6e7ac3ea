//! A server with a data folder of its own, and a client that keeps its cookie and fills forms as a browser does.

use std::path::PathBuf;
use std::sync::atomic::{AtomicU32, Ordering};

use scantling_server::{Config, Limits, Running, start};
use scantling_takeoff::record::Role;

/// A running server in a folder that goes when this goes.
pub(crate) struct TestServer {
    running: Option<Running>,
    pub(crate) origin: String,
    pub(crate) folder: PathBuf,
}

impl TestServer {
    pub(crate) fn start(name: &str) -> Self {
        Self::start_in(Self::folder(name))
    }

    /// The same, in a folder that `scantling demo` has filled.
    pub(crate) fn start_demo(name: &str) -> Self {
        let folder = Self::folder(name);
        let filled = std::process::Command::new(env!("CARGO_BIN_EXE_scantling"))
            .args(["demo", "--no-serve", "--data"])
            .arg(&folder)
            .output()
            .unwrap();
        assert!(
            filled.status.success(),
            "{}",
            String::from_utf8_lossy(&filled.stderr)
        );
        Self::start_in(folder)
    }

    fn folder(name: &str) -> PathBuf {
        static NUMBER: AtomicU32 = AtomicU32::new(0);
        let n = NUMBER.fetch_add(1, Ordering::Relaxed);
        std::env::temp_dir().join(format!("scantling-test-{}-{n}-{name}", std::process::id()))
    }

    /// The same, in a folder that is there already.
    pub(crate) fn start_in(folder: PathBuf) -> Self {
        let running = start(&Config {
            limits: Limits::none(),
            ..Config::on_loopback(folder.clone(), 0)
        })
        .unwrap();
        Self {
            origin: running.origin.clone(),
            running: Some(running),
            folder,
        }
    }

    /// A fresh sign-in code.
    pub(crate) fn code(&self) -> String {
        self.running.as_ref().unwrap().fresh_code().unwrap()
    }

    /// A client, signed in as lead.
    pub(crate) fn lead(&self) -> Client {
        let mut client = self.stranger();
        let answer = client.post("/sign-in", &[("code", &self.code())]);
        assert_eq!(answer.status, 303, "{}", answer.body);
        client.cookie = answer.cookie;
        client
    }

    /// Whoever signed in becomes a guest.
    pub(crate) fn with_guests(&mut self, client: &Client) -> Client {
        self.with_all_as(Role::Guest, client)
    }

    /// Whoever signed in gets this role: the server is stopped, and started again on the same folder.
    pub(crate) fn with_all_as(&mut self, role: Role, client: &Client) -> Client {
        if let Some(running) = self.running.take() {
            running.stop().unwrap();
        }
        let db = scantling_db::Db::open(&self.folder).unwrap();
        db.write(move |tx| {
            for id in scantling_db::people(tx)?.into_keys() {
                scantling_db::set_role(tx, id, role)?;
            }
            Ok(())
        })
        .unwrap();
        drop(db);
        let running = start(&Config {
            limits: Limits::none(),
            ..Config::on_loopback(self.folder.clone(), 0)
        })
        .unwrap();
        self.origin.clone_from(&running.origin);
        self.running = Some(running);
        Client {
            cookie: client.cookie.clone(),
            ..self.stranger()
        }
    }

    pub(crate) fn stranger(&self) -> Client {
        Client::of(&self.origin)
    }

    /// A server that is set up otherwise.
    pub(crate) fn start_with(name: &str, config: impl FnOnce(PathBuf) -> Config) -> Self {
        let folder = Self::folder(name);
        let running = start(&config(folder.clone())).unwrap();
        Self {
            origin: running.origin.clone(),
            running: Some(running),
            folder,
        }
    }
}

impl Drop for TestServer {
    fn drop(&mut self) {
        if let Some(running) = self.running.take() {
            running.stop().unwrap();
        }
        std::fs::remove_dir_all(&self.folder).unwrap();
    }
}

/// A request with a body on its way.
type Sending = ureq::RequestBuilder<ureq::typestate::WithBody>;

pub(crate) struct Client {
    agent: ureq::Agent,
    pub(crate) origin: String,
    pub(crate) cookie: Option<String>,
}

#[derive(Debug)]
pub(crate) struct Answer {
    pub(crate) status: u16,
    pub(crate) body: String,
    pub(crate) cookie: Option<String>,
    pub(crate) location: Option<String>,
    pub(crate) headers: Vec<(String, String)>,
}

impl Answer {
    /// A header's value.
    pub(crate) fn header(&self, name: &str) -> Option<&str> {
        self.headers
            .iter()
            .find(|(n, _)| n == name)
            .map(|(_, value)| value.as_str())
    }
}

impl Client {
    /// Of whatever answers there.
    pub(crate) fn of(origin: &str) -> Self {
        let agent = ureq::Agent::config_builder()
            .http_status_as_error(false)
            .max_redirects(0)
            .build()
            .into();
        Self {
            agent,
            origin: origin.to_owned(),
            cookie: None,
        }
    }

    pub(crate) fn get(&self, path: &str) -> Answer {
        let cookie = self.cookie.as_deref().unwrap_or("");
        read(
            self.agent
                .get(format!("{}{path}", self.origin))
                .header("cookie", cookie)
                .call()
                .unwrap(),
        )
    }

    /// An answer with its body as bytes.
    pub(crate) fn file(&self, path: &str) -> (Answer, Vec<u8>) {
        let mut answer = self
            .agent
            .get(format!("{}{path}", self.origin))
            .header("cookie", self.cookie.as_deref().unwrap_or(""))
            .call()
            .unwrap();
        let bytes = answer.body_mut().read_to_vec().unwrap();
        (read(answer), bytes)
    }

    /// A page that must be there.
    pub(crate) fn page(&self, path: &str) -> String {
        let answer = self.get(path);
        assert_eq!(answer.status, 200, "{path}: {}", answer.body);
        answer.body
    }

    pub(crate) fn post(&self, path: &str, fields: &[(&str, &str)]) -> Answer {
        let request = self.own(self.agent.post(format!("{}{path}", self.origin)));
        read(request.send_form(fields.iter().copied()).unwrap())
    }

    /// A request that changes something, as a page of this server makes it.
    fn own(&self, request: Sending) -> Sending {
        request
            .header("cookie", self.cookie.as_deref().unwrap_or(""))
            .header("origin", &self.origin)
    }

    /// Posts a body as it is.
    pub(crate) fn send(&self, path: &str, content_type: &str, body: &[u8]) -> Answer {
        let request = self.own(self.agent.post(format!("{}{path}", self.origin)));
        let request = request.header("content-type", content_type);
        read(request.send(body).unwrap())
    }

    /// The same, where the server may go away: none if no whole answer came.
    pub(crate) fn try_send(&self, path: &str, content_type: &str, body: &[u8]) -> Option<Answer> {
        let request = self.own(self.agent.post(format!("{}{path}", self.origin)));
        let request = request.header("content-type", content_type);
        let mut answer = request.send(body).ok()?;
        let status = answer.status().as_u16();
        let body = answer.body_mut().read_to_string().ok()?;
        Some(Answer {
            status,
            body,
            cookie: None,
            location: None,
            headers: Vec::new(),
        })
    }

    /// Puts a body as it is.
    pub(crate) fn put(&self, path: &str, content_type: &str, body: &[u8]) -> Answer {
        let request = self.own(self.agent.put(format!("{}{path}", self.origin)));
        let request = request.header("content-type", content_type);
        read(request.send(body).unwrap())
    }

    /// Opens a page, fills its form `id` as a browser would (what it holds, then `fields` in their place) and posts it.
    pub(crate) fn fill(&self, page: &str, id: &str, fields: &[(&str, &str)]) -> Answer {
        let (action, all) = form(&self.page(page), id);
        self.post_over(&action, all, fields)
    }

    /// Posts what a form held, with `fields` in their place.
    pub(crate) fn post_over(
        &self,
        action: &str,
        held: Vec<(String, String)>,
        fields: &[(&str, &str)],
    ) -> Answer {
        let mut all: Vec<(String, String)> = held
            .into_iter()
            .filter(|(name, _)| !fields.iter().any(|(n, _)| n == name))
            .collect();
        all.extend(
            fields
                .iter()
                .map(|(n, t)| ((*n).to_owned(), (*t).to_owned())),
        );
        let all: Vec<(&str, &str)> = all.iter().map(|(n, t)| (n.as_str(), t.as_str())).collect();
        self.post(action, &all)
    }

    /// The same, and it must be saved: gives where it leads.
    pub(crate) fn save(&self, page: &str, id: &str, fields: &[(&str, &str)]) -> String {
        let answer = self.fill(page, id, fields);
        assert_eq!(
            answer.status,
            303,
            "{page} {id} {fields:?}: {}",
            errors(&answer.body)
        );
        answer.location.unwrap()
    }
}

/// The error sentences of a page.
pub(crate) fn errors(page: &str) -> String {
    page.split("class=\"err\"")
        .skip(1)
        .filter_map(|rest| rest.split_once('>'))
        .filter_map(|(_, rest)| rest.split_once('<'))
        .map(|(text, _)| text)
        .collect::<Vec<_>>()
        .join(" | ")
}

/// A form's action and what it would send, as a browser reads it.
pub(crate) fn form(page: &str, id: &str) -> (String, Vec<(String, String)>) {
    let from = page
        .find(&format!("id=\"{id}\" data-kind"))
        .unwrap_or_else(|| panic!("no form {id} in {page}"));
    let start = page[..from].rfind("<form").unwrap();
    let end = start + page[start..].find("</form>").unwrap();
    read_form(&page[start..end])
}

/// The action and fields of a form's own text.
pub(crate) fn read_form(text: &str) -> (String, Vec<(String, String)>) {
    let action = attribute(text.split('>').next().unwrap(), "action").unwrap();
    let mut fields = Vec::new();
    for tag in text.split('<').skip(1) {
        let (head, rest) = tag.split_once('>').unwrap_or((tag, ""));
        let name = attribute(head, "name");
        if head.starts_with("input") {
            let (Some(name), kind) = (name, attribute(head, "type").unwrap_or_default()) else {
                continue;
            };
            if matches!(kind.as_str(), "checkbox" | "radio") && !head.contains(" checked") {
                continue;
            }
            fields.push((name, attribute(head, "value").unwrap_or_default()));
        } else if head.starts_with("textarea") {
            fields.push((name.unwrap(), unescape(rest)));
        } else if head.starts_with("select") {
            fields.push((name.unwrap(), String::new()));
        } else if head.starts_with("option")
            && head.contains(" selected")
            && let Some(last) = fields.last_mut()
        {
            last.1 = attribute(head, "value").unwrap_or_default();
        }
    }
    (action, fields)
}

/// An attribute's value in a tag.
pub(crate) fn attribute(tag: &str, name: &str) -> Option<String> {
    let from = tag.find(&format!(" {name}=\""))? + name.len() + 3;
    let rest = &tag[from..];
    Some(unescape(&rest[..rest.find('"')?]))
}

fn unescape(text: &str) -> String {
    text.replace("&quot;", "\"")
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&#39;", "'")
        .replace("&amp;", "&")
}

fn read(answer: ureq::http::Response<ureq::Body>) -> Answer {
    let headers: Vec<(String, String)> = answer
        .headers()
        .iter()
        .map(|(name, value)| (name.to_string(), value.to_str().unwrap_or("").to_owned()))
        .collect();
    let find = |name: &str| {
        headers
            .iter()
            .find(|(n, _)| n == name)
            .map(|(_, value)| value.clone())
    };
    let (cookie, location) = (
        find("set-cookie").map(|c| c.split(';').next().unwrap().to_owned()),
        find("location"),
    );
    let status = answer.status().as_u16();
    let body = answer.into_body().read_to_string().unwrap();
    Answer {
        status,
        body,
        cookie,
        location,
        headers,
    }
}
