//! A small web server for the bundled app: right types, the security headers, and nothing outside its folder.

use crate::http::{self, Answer, Answers};
use crate::run::{Outcome, Trouble, trouble};
use std::net::{Ipv4Addr, SocketAddr, TcpListener};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// A folder being served.
#[derive(Debug)]
pub struct Site {
    folder: PathBuf,
    headers: Vec<(&'static str, String)>,
}

/// A listening server.
pub struct Listening {
    listener: TcpListener,
    site: Arc<Site>,
    /// Where it listens; the port is the one really taken.
    pub address: SocketAddr,
}

impl Site {
    /// A bundle that has a page with a policy. The header repeats the page's own policy and sharpens it.
    pub fn open(folder: &Path) -> Outcome<Self> {
        let folder = folder.canonicalize().map_err(|why| trouble(format!("Opening {}", folder.display()), why))?;
        let page = std::fs::read_to_string(folder.join("index.html"))
            .map_err(|why| trouble(format!("Reading index.html in {}", folder.display()), why))?;
        let policy = policy_of(&page)
            .ok_or_else(|| Trouble("index.html has no Content-Security-Policy: put its meta line back.".into()))?;
        let headers = vec![
            ("Content-Security-Policy", format!("{policy}; frame-ancestors 'none'")),
            ("X-Content-Type-Options", "nosniff".into()),
            ("Referrer-Policy", "no-referrer".into()),
            // Asks every time; the service worker is what makes it quick.
            ("Cache-Control", "no-cache".into()),
        ];
        Ok(Self { folder, headers })
    }

    /// Takes the port on this machine only, or on every network it is part of.
    pub fn listen(self, port: u16, local_network: bool) -> Outcome<Listening> {
        let host = if local_network { Ipv4Addr::UNSPECIFIED } else { Ipv4Addr::LOCALHOST };
        let listener = TcpListener::bind((host, port))
            .map_err(|why| Trouble(format!("Port {port} could not be taken ({why}): choose another with --port.")))?;
        let address = listener.local_addr().map_err(|why| trouble("Asking for the port", why))?;
        Ok(Listening { listener, site: Arc::new(self), address })
    }

    /// The file an address names; nothing when it does not exist or lies outside the folder.
    fn file_of(&self, url: &str) -> Option<PathBuf> {
        let path = decoded(url.split(['?', '#']).next()?)?;
        let name = path.strip_prefix('/')?;
        let name = if name.is_empty() { "index.html" } else { name };
        let plain = |part: &str| !part.is_empty() && part != "." && part != ".." && !part.contains(['\\', ':', '\0']);
        if !name.split('/').all(plain) {
            return None;
        }
        // A link inside the folder may still lead outside it.
        let file = self.folder.join(name).canonicalize().ok()?;
        (file.starts_with(&self.folder) && file.is_file()).then_some(file)
    }
}

impl Answers for Site {
    fn answer(&self, method: &str, target: &str) -> Answer {
        if !matches!(method, "GET" | "HEAD") {
            return Answer::text(405, "Only GET and HEAD are answered here.");
        }
        let Some(file) = self.file_of(target) else {
            return Answer::text(404, "There is no such file here.");
        };
        match std::fs::read(&file) {
            Ok(body) => Answer { status: 200, kind: kind_of(&file), body },
            Err(why) => Answer::text(500, &format!("The file could not be read: {why}")),
        }
    }

    fn headers(&self) -> &[(&'static str, String)] {
        &self.headers
    }
}

impl Listening {
    /// Answers until the program is stopped.
    pub fn serve(&self) -> Outcome {
        http::serve(&self.listener, &self.site)
    }
}

/// The type a file is sent as. Browsers refuse modules and WebAssembly of the wrong type.
fn kind_of(file: &Path) -> &'static str {
    match file.extension().and_then(|ending| ending.to_str()) {
        Some("html") => "text/html; charset=utf-8",
        Some("js") => "text/javascript; charset=utf-8",
        Some("css") => "text/css; charset=utf-8",
        Some("txt") => "text/plain; charset=utf-8",
        Some("json") => "application/json",
        Some("wasm") => "application/wasm",
        Some("webmanifest") => "application/manifest+json",
        Some("svg") => "image/svg+xml",
        Some("png") => "image/png",
        Some("ico") => "image/x-icon",
        Some("woff2") => "font/woff2",
        _ => "application/octet-stream",
    }
}

/// The policy written in the page's meta line.
fn policy_of(page: &str) -> Option<String> {
    let after = page.split_once("http-equiv=\"Content-Security-Policy\"")?.1;
    let policy = after.split_once("content=\"")?.1.split_once('"')?.0;
    Some(policy.split_whitespace().collect::<Vec<_>>().join(" "))
}

/// Undoes `%41`; nothing for what is cut short, not hexadecimal, or not UTF-8.
fn decoded(path: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(path.len());
    let mut rest = path.bytes();
    while let Some(byte) = rest.next() {
        if byte == b'%' {
            let digits = [rest.next()?, rest.next()?].map(|digit| char::from(digit).to_digit(16));
            bytes.push(u8::try_from(digits[0]? * 16 + digits[1]?).ok()?);
        } else {
            bytes.push(byte);
        }
    }
    String::from_utf8(bytes).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A folder `site` with a page, beside a file that must never be served.
    fn sample(name: &str) -> Site {
        let around = std::env::temp_dir().join(format!("dotside-xtask-{name}-{}", std::process::id()));
        let folder = around.join("site");
        std::fs::create_dir_all(folder.join("css")).unwrap();
        let page =
            "<meta http-equiv=\"Content-Security-Policy\"\n content=\"default-src 'none';\n  script-src 'self'\">";
        std::fs::write(folder.join("index.html"), page).unwrap();
        std::fs::write(folder.join("css/kit.css"), "a{}").unwrap();
        std::fs::write(folder.join("app_bg.wasm"), [0]).unwrap();
        std::fs::write(around.join("outside.txt"), "not yours").unwrap();
        Site::open(&folder).unwrap()
    }

    #[test]
    fn files_are_served_with_their_types() {
        let site = sample("types");
        for (url, kind) in [
            ("/", "text/html; charset=utf-8"),
            ("/index.html?x=1", "text/html; charset=utf-8"),
            ("/css/kit.css", "text/css; charset=utf-8"),
            ("/app%5Fbg.wasm", "application/wasm"),
        ] {
            let answer = site.answer("GET", url);
            assert_eq!((answer.status, answer.kind), (200, kind), "{url}");
        }
    }

    #[test]
    fn nothing_outside_the_folder_is_served() {
        let site = sample("outside");
        for url in [
            "/../outside.txt",
            "/css/../../outside.txt",
            "/%2e%2e/outside.txt",
            "/..%2foutside.txt",
            "/..%5coutside.txt",
            "//etc/passwd",
            "/css",
            "/css/",
            "/./index.html",
            "/index.html%00",
            "/%",
            "/%zz",
            "/%ff",
            "*",
            "http://elsewhere/index.html",
            "",
        ] {
            assert_eq!(site.answer("GET", url).status, 404, "{url}");
        }
    }

    #[cfg(unix)]
    #[test]
    fn a_link_that_leads_outside_is_not_followed() {
        let site = sample("link");
        let link = site.folder.join("link.txt");
        if link.symlink_metadata().is_err() {
            std::os::unix::fs::symlink(site.folder.join("../outside.txt"), &link).unwrap();
        }
        assert_eq!(site.answer("GET", "/link.txt").status, 404);
    }

    #[test]
    fn nothing_can_be_written() {
        let site = sample("write");
        for method in ["PUT", "POST", "DELETE", "get"] {
            assert_eq!(site.answer(method, "/index.html").status, 405);
        }
    }

    #[test]
    fn the_policy_comes_from_the_page() {
        let policy = &sample("policy").headers[0].1;
        assert_eq!(policy, "default-src 'none'; script-src 'self'; frame-ancestors 'none'");
        assert_eq!(policy_of("<p>none here</p>"), None);
    }
}
