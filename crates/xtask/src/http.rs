//! Just enough HTTP/1.1 for one page on this machine: one request per connection, answered and closed.
//!
//! A library server that keeps connections open stalled here when Chromium opened six of them at once.

use crate::run::{Outcome, Trouble, trouble};
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{Shutdown, TcpListener, TcpStream};
use std::sync::Arc;
use std::time::Duration;

/// Longest request head that is read, in bytes; a browser's is about one tenth of it.
const HEAD_BYTES: u64 = 16 * 1024;
/// How long a reader may keep a connection waiting.
const PATIENCE: Duration = Duration::from_secs(10);

/// What is sent back.
#[derive(Debug, PartialEq, Eq)]
pub struct Answer {
    pub status: u16,
    pub kind: &'static str,
    pub body: Vec<u8>,
}

impl Answer {
    /// A status with one sentence.
    pub fn text(status: u16, sentence: &str) -> Self {
        Self { status, kind: "text/plain; charset=utf-8", body: sentence.as_bytes().to_vec() }
    }
}

/// Something that answers requests, and adds its own headers to every answer.
pub trait Answers: Send + Sync + 'static {
    fn answer(&self, method: &str, target: &str) -> Answer;
    fn headers(&self) -> &[(&'static str, String)];
}

/// Answers every connection in a thread of its own, until the program is stopped.
pub fn serve(listener: &TcpListener, site: &Arc<impl Answers>) -> Outcome {
    for connection in listener.incoming() {
        let connection = connection.map_err(|why| trouble("Taking a connection", why))?;
        let site = Arc::clone(site);
        std::thread::Builder::new()
            .spawn(move || {
                // The reader may have gone away; that is no trouble of the server's.
                if let Err(why) = converse(&connection, site.as_ref()) {
                    eprintln!("   a reader left before the answer was sent ({why})");
                }
            })
            .map_err(|why| Trouble(format!("No thread could be started for a connection ({why}).")))?;
    }
    Ok(())
}

fn converse(connection: &TcpStream, site: &impl Answers) -> std::io::Result<()> {
    connection.set_read_timeout(Some(PATIENCE))?;
    connection.set_write_timeout(Some(PATIENCE))?;
    let mut reader = BufReader::new(connection).take(HEAD_BYTES);
    let Some(line) = head(&mut reader)? else { return Ok(()) };
    let words: Vec<&str> = line.split(' ').collect();
    let (answer, with_body) = match words.as_slice() {
        [method, target, version] if version.starts_with("HTTP/1.") => (site.answer(method, target), *method != "HEAD"),
        _ => (Answer::text(400, "This is no HTTP request."), true),
    };
    let mut writer = connection;
    writer.write_all(opening(&answer, site.headers()).as_bytes())?;
    if with_body {
        writer.write_all(&answer.body)?;
    }
    connection.shutdown(Shutdown::Write)?;
    // What was sent along with a refused request is read away, else closing would cut the answer off.
    std::io::copy(&mut reader, &mut std::io::sink())?;
    Ok(())
}

/// First line of the request, once its whole head has come; nothing when the connection was opened and not used.
fn head(reader: &mut impl BufRead) -> std::io::Result<Option<String>> {
    let mut first = None;
    loop {
        let mut bytes = Vec::new();
        // A connection opened in advance and never used ends here by the browser's hand or by the clock.
        match reader.read_until(b'\n', &mut bytes) {
            Ok(0) => return Ok(None),
            Err(_) if first.is_none() => return Ok(None),
            read => read?,
        };
        let line = String::from_utf8_lossy(&bytes).trim_end().to_string();
        match (line.is_empty(), &first) {
            (true, Some(_)) => return Ok(first),
            (false, None) => first = Some(line),
            _ => {}
        }
    }
}

fn opening(answer: &Answer, headers: &[(&'static str, String)]) -> String {
    let reason = match answer.status {
        200 => "OK",
        400 => "Bad Request",
        404 => "Not Found",
        405 => "Method Not Allowed",
        _ => "Internal Server Error",
    };
    let mut text = format!("HTTP/1.1 {} {reason}\r\n", answer.status);
    text += &format!("Content-Type: {}\r\nContent-Length: {}\r\nConnection: close\r\n", answer.kind, answer.body.len());
    for (name, value) in headers {
        text += &format!("{name}: {value}\r\n");
    }
    text + "\r\n"
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::ErrorKind;

    struct Echo;

    impl Answers for Echo {
        fn answer(&self, method: &str, target: &str) -> Answer {
            Answer::text(200, &format!("{method} {target}"))
        }
        fn headers(&self) -> &[(&'static str, String)] {
            &[]
        }
    }

    fn ask(request: &[u8]) -> String {
        let listener = TcpListener::bind("127.0.0.1:0").unwrap();
        let address = listener.local_addr().unwrap();
        std::thread::spawn(move || serve(&listener, &Arc::new(Echo)));
        let mut connection = TcpStream::connect(address).unwrap();
        // A server that hangs up on too long a request may do so while it is still being sent, or read.
        let hung_up = |why: std::io::Error| {
            let kinds = [ErrorKind::ConnectionReset, ErrorKind::BrokenPipe, ErrorKind::NotConnected];
            assert!(kinds.contains(&why.kind()), "{why}");
        };
        connection.write_all(request).unwrap_or_else(hung_up);
        connection.shutdown(Shutdown::Write).unwrap_or_else(hung_up);
        let mut said = Vec::new();
        connection.read_to_end(&mut said).map(|_| ()).unwrap_or_else(hung_up);
        String::from_utf8(said).unwrap()
    }

    #[test]
    fn a_request_is_answered_and_the_connection_closed() {
        let said = ask(b"GET /a HTTP/1.1\r\nHost: x\r\n\r\n");
        assert!(said.starts_with("HTTP/1.1 200 OK\r\n") && said.ends_with("\r\n\r\nGET /a"), "{said}");
        let said = ask(b"HEAD /a HTTP/1.1\r\n\r\n");
        assert!(said.contains("Content-Length: 7\r\n") && said.ends_with("\r\n\r\n"), "{said}");
    }

    #[test]
    fn nonsense_is_refused_and_silence_is_left_alone() {
        assert!(ask(b"nonsense\r\n\r\n").starts_with("HTTP/1.1 400 "));
        assert!(ask(b"GET / HTTP/2\r\n\r\n").starts_with("HTTP/1.1 400 "));
        assert_eq!(ask(b""), "");
        assert_eq!(ask(&[b'a'; 20_000]), "");
    }
}
