//! A browser as far as a server sees it: one connection, a cookie, forms with their hidden fields.

use std::io::{BufRead, BufReader, Error, Read, Write};
use std::net::TcpStream;
use std::time::{Duration, Instant};

/// One browser with its cookie.
pub struct Browser {
    /// `127.0.0.1:PORT`.
    host: String,
    cookie: String,
    connection: Option<BufReader<TcpStream>>,
}

/// An answer, and how long it took from the first byte sent to the last byte read.
pub struct Page {
    /// The status.
    pub status: u16,
    /// Where it sends the browser; empty if nowhere.
    pub location: String,
    /// The page.
    pub body: String,
    /// How long it took.
    pub took: Duration,
}

impl Browser {
    /// A browser that was never there.
    pub fn new(host: &str) -> Self {
        Self { host: host.to_owned(), cookie: String::new(), connection: None }
    }

    /// Asks for a page.
    pub fn get(&mut self, path: &str) -> Page {
        self.ask("GET", path, "")
    }

    /// Sends the first form of a page that goes to `action`, with these fields filled in.
    pub fn send(&mut self, page: &Page, action: &str, fields: &[(&str, &str)]) -> Page {
        let hidden = ["form", "once"].map(|name| (name, page.hidden(action, name)));
        let pairs = hidden.iter().map(|(name, value)| (*name, value.as_str()));
        let all: Vec<String> = pairs
            .chain(fields.iter().copied())
            .map(|(name, value)| format!("{}={}", escaped(name), escaped(value)))
            .collect();
        self.ask("POST", action, &all.join("&"))
    }

    /// Signs in, and follows to the first page.
    pub fn sign_in(&mut self, name: &str, passphrase: &str) -> Page {
        let form = self.get("/sign-in");
        let sent = self.send(&form, "/sign-in", &[("name", name), ("passphrase", passphrase), ("pin", "")]);
        assert_eq!((sent.status, sent.location.as_str()), (303, "/"), "{name} is not let in: {}", sent.body);
        sent
    }

    /// Begins what a module of the page asks for beside it; given up when what this gives is dropped, as a
    /// browser does when the page is left.
    pub fn beside(&self, path: &str) -> Option<TcpStream> {
        let mut stream = TcpStream::connect(&self.host).ok()?;
        let head = format!(
            "GET {path} HTTP/1.1\r\nHost: {}\r\nX-Footrose-Quiet: 1\r\nCookie: {}\r\n\r\n",
            self.host, self.cookie
        );
        stream.write_all(head.as_bytes()).ok()?;
        Some(stream)
    }

    fn ask(&mut self, method: &str, path: &str, body: &str) -> Page {
        // A connection that was kept may have been closed meanwhile; a new one is tried once.
        let kept = self.connection.is_some();
        let asked = match self.asked(method, path, body) {
            Err(_) if kept => {
                self.connection = None;
                self.asked(method, path, body)
            }
            asked => asked,
        };
        asked.unwrap_or_else(|error| panic!("{method} {path}: {error}"))
    }

    fn asked(&mut self, method: &str, path: &str, body: &str) -> Result<Page, Error> {
        let begun = Instant::now();
        let mut connection = match self.connection.take() {
            Some(connection) => connection,
            None => {
                let stream = TcpStream::connect(&self.host)?;
                stream.set_nodelay(true)?;
                BufReader::new(stream)
            }
        };
        let path = path.split('#').next().unwrap_or(path);
        let host = &self.host;
        let mut head = format!(
            "{method} {path} HTTP/1.1\r\nHost: {host}\r\nAccept: text/html\r\nCookie: {}\r\n",
            self.cookie
        );
        if method == "POST" {
            head.push_str(&format!(
                "Origin: http://{host}\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n",
                body.len()
            ));
        }
        connection.get_mut().write_all(format!("{head}\r\n{body}").as_bytes())?;
        let (status, headers) = head_of(&mut connection)?;
        let mut bytes = Vec::new();
        let header =
            |name: &str| headers.iter().find(|(known, _)| known == name).map(|(_, value)| value.as_str());
        let length = header("content-length").and_then(|value| value.parse::<u64>().ok()).unwrap_or(0);
        connection.by_ref().take(length).read_to_end(&mut bytes)?;
        if let Some(cookie) = header("set-cookie") {
            self.cookie = cookie.split(';').next().unwrap_or_default().to_owned();
        }
        self.connection = Some(connection);
        Ok(Page {
            status,
            location: header("location").unwrap_or_default().to_owned(),
            body: String::from_utf8_lossy(&bytes).into_owned(),
            took: begun.elapsed(),
        })
    }
}

fn head_of(connection: &mut BufReader<TcpStream>) -> Result<(u16, Vec<(String, String)>), Error> {
    let mut line = String::new();
    connection.read_line(&mut line)?;
    let status = line.split(' ').nth(1).and_then(|word| word.parse().ok());
    let status = status.ok_or_else(|| Error::other(format!("no answer: `{line}`")))?;
    let mut headers = Vec::new();
    loop {
        let mut line = String::new();
        connection.read_line(&mut line)?;
        let Some((name, value)) = line.trim_end().split_once(':') else { return Ok((status, headers)) };
        headers.push((name.to_lowercase(), value.trim().to_owned()));
    }
}

impl Page {
    /// A hidden field of the first form that goes to this address.
    pub fn hidden(&self, action: &str, name: &str) -> String {
        let form = self.body.split(&format!("action=\"{action}\"")).nth(1);
        let form = form.unwrap_or_else(|| panic!("no form goes to {action}: {}", self.body));
        let value = form.split(&format!("name=\"{name}\" value=\"")).nth(1);
        value.and_then(|rest| rest.split('"').next()).unwrap_or_default().to_owned()
    }

    /// The people that the page links to, each once, in the order of the page.
    pub fn people(&self) -> Vec<String> {
        let mut out: Vec<String> = Vec::new();
        for rest in self.body.split("href=\"/people/").skip(1) {
            let id = rest.split(['/', '"']).next().unwrap_or_default();
            if id.len() == 36 && !out.iter().any(|known| known == id) {
                out.push(id.to_owned());
            }
        }
        out
    }

    /// What its module asks for beside it.
    pub fn beside(&self) -> Option<String> {
        let rest = self.body.split("data-later=\"").nth(1)?;
        Some(rest.split('"').next()?.to_owned())
    }

    /// Whether it says that the answer is still being worked out.
    pub fn is_waiting(&self) -> bool {
        self.body.contains("<h1>One moment</h1>")
    }
}

fn escaped(text: &str) -> String {
    text.bytes()
        .map(|byte| match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'_' | b'.' => char::from(byte).to_string(),
            other => format!("%{other:02X}"),
        })
        .collect()
}
