//! The real program in its real window, driven by WebDriver.

use fantoccini::elements::Element;
use fantoccini::wd::Capabilities;
use fantoccini::{Client, ClientBuilder, Locator};
use std::cell::RefCell;
use std::io::{BufRead, BufReader};
use std::net::TcpListener;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::Duration;

/// How long something on the screen may take; not a measure of speed, a word for "never".
const PATIENCE: Duration = Duration::from_secs(25);

/// A WebDriver server of our own, with a folder for the clock file.
pub struct Bench {
    server: Child,
    port: u16,
    folder: tempfile::TempDir,
}

impl Bench {
    pub fn new() -> Self {
        Self::with_environment(&[])
    }

    /// With variables of its own for the program.
    pub fn with_environment(variables: &[(&str, &str)]) -> Self {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("clock"), "0").unwrap();
        let port = TcpListener::bind("127.0.0.1:0").unwrap().local_addr().unwrap().port();
        let server = Command::new("WebKitWebDriver")
            .args([format!("--port={port}"), "--host=127.0.0.1".to_owned()])
            .env("TAURI_WEBVIEW_AUTOMATION", "true")
            .env("COLDBENCH_TEST_CLOCK", folder.path().join("clock"))
            .env("XDG_DATA_HOME", folder.path().join("data"))
            .env("XDG_CONFIG_HOME", folder.path().join("config"))
            .envs(variables.iter().copied())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("WebKitWebDriver is needed: tests/run installs it");
        Self { server, port, folder }
    }

    /// With a line among the toolkit's settings, as a desktop writes them.
    pub fn with_toolkit_settings(line: &str) -> Self {
        let bench = Self::new();
        let settings = bench.folder().join("config").join("gtk-3.0");
        std::fs::create_dir_all(&settings).unwrap();
        std::fs::write(settings.join("settings.ini"), format!("[Settings]\n{line}\n")).unwrap();
        bench
    }

    pub fn folder(&self) -> &Path {
        self.folder.path()
    }

    /// Moves the program's clock to so many minutes from the real one.
    pub fn shift_clock(&self, minutes: i64) {
        // Renamed over, never half written: an empty file would be a clock set back.
        let new = self.folder.path().join("clock.new");
        std::fs::write(&new, minutes.to_string()).unwrap();
        std::fs::rename(new, self.folder.path().join("clock")).unwrap();
    }

    /// Starts the program on a workshop and waits until its first view is there.
    pub async fn open(&self, workshop: &Path) -> Window {
        let options = serde_json::json!({
            "binary": env!("CARGO_BIN_EXE_coldbench"),
            "args": ["--workshop", workshop.to_str().unwrap()],
        });
        let mut capabilities = Capabilities::new();
        capabilities.insert("webkitgtk:browserOptions".to_owned(), options);
        let url = format!("http://127.0.0.1:{}", self.port);
        let mut tries = 0;
        let client = loop {
            let mut builder =
                ClientBuilder::new(hyper_util::client::legacy::connect::HttpConnector::new());
            match builder.capabilities(capabilities.clone()).connect(&url).await {
                Ok(client) => break client,
                // The server needs a moment to listen.
                Err(error) if tries >= 100 => panic!("no session: {error}"),
                Err(_) => tries += 1,
            }
            tokio::time::sleep(Duration::from_millis(100)).await;
        };
        let window =
            Window { client, workshop: workshop.to_owned(), pin: RefCell::new(String::new()) };
        window.find("body[data-ready=true]").await;
        window
    }
}

impl Drop for Bench {
    fn drop(&mut self) {
        // A test that failed leaves its program running.
        let line = format!("--workshop {}", self.folder.path().display());
        let _ = Command::new("pkill").args(["-KILL", "-f", "--", &line]).status();
        let _ = self.server.kill();
        let _ = self.server.wait();
    }
}

/// The window of one running program.
pub struct Window {
    pub client: Client,
    workshop: PathBuf,
    /// The PIN of whoever is at the bench: a hold point asks for it again.
    pub pin: RefCell<String>,
}

impl Window {
    /// Kills the program with SIGKILL: no exit event, no farewell.
    pub async fn kill(self) {
        let line = format!("--workshop {}", self.workshop.display());
        let killed = Command::new("pkill").args(["-KILL", "-f", "--", &line]).status().unwrap();
        assert!(killed.success(), "there was no program to kill");
        // The session is dead with its program; the server only has to notice.
        let _ = self.client.close().await;
        while Command::new("pgrep").args(["-f", "--", &line]).status().unwrap().success() {
            tokio::time::sleep(Duration::from_millis(20)).await;
        }
    }

    pub async fn find(&self, css: &str) -> Element {
        match self.client.wait().at_most(PATIENCE).for_element(Locator::Css(css)).await {
            Ok(element) => element,
            Err(error) => panic!("“{css}” does not appear ({error}) in:\n{}", self.text().await),
        }
    }

    pub async fn has(&self, css: &str) -> bool {
        self.client.find(Locator::Css(css)).await.is_ok()
    }

    /// Looks at a single sheet where it is picked, and saves it; it says something.
    pub async fn save_sheet(&self, prefix: &str, file: &Path, says: &str) {
        // Its pages may be on their way from the last sheet: pressing then would put it away.
        if !self.has(&format!("#{prefix}-open[aria-expanded='true']")).await {
            self.press(&format!("#{prefix}-open")).await;
        }
        self.find(&format!("#{prefix}-preview svg text")).await;
        self.write(&format!("#{prefix}-save-path"), file.to_str().unwrap()).await;
        self.press(&format!("#{prefix}-save")).await;
        self.says(&format!("Saved as {}", file.display())).await;
        let output = Command::new("pdftotext").arg(file).arg("-").output().unwrap();
        let text = String::from_utf8(output.stdout).unwrap();
        assert!(text.contains(says), "“{says}” is not in:\n{text}");
    }

    /// All text on the screen.
    pub async fn text(&self) -> String {
        let script = "return document.body.innerText";
        let text = self.client.execute(script, vec![]).await.unwrap();
        text.as_str().unwrap_or_default().to_owned()
    }

    /// Waits until the screen says something.
    pub async fn says(&self, words: &str) {
        let deadline = tokio::time::Instant::now() + PATIENCE;
        loop {
            let text = self.text().await;
            if text.to_lowercase().contains(&words.to_lowercase()) {
                return;
            }
            assert!(
                tokio::time::Instant::now() < deadline,
                "the screen never says “{words}”:\n{text}"
            );
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
    }

    /// Waits until the screen no longer says something.
    pub async fn says_no_more(&self, words: &str) {
        let deadline = tokio::time::Instant::now() + PATIENCE;
        while self.text().await.contains(words) {
            assert!(tokio::time::Instant::now() < deadline, "the screen still says “{words}”");
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
    }

    /// Presses a button. A re-drawn view may take it away under the finger: then press again.
    pub async fn press(&self, css: &str) {
        let mut last = None;
        for _ in 0..20 {
            match self.find(&format!("{css}:not([disabled])")).await.click().await {
                Ok(()) => return,
                Err(error) => last = Some(error),
            }
            self.scroll_to(css).await;
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
        self.picture("failed").await;
        panic!("“{css}” can't be pressed ({last:?}) in:\n{}", self.text().await);
    }

    /// Writes into a field, over what was there. A re-drawn view may take it away under the hand: then
    /// once more.
    pub async fn write(&self, css: &str, text: &str) {
        let mut last = None;
        for _ in 0..20 {
            let field = self.find(css).await;
            let written = async {
                field.clear().await?;
                if text.is_empty() { Ok(()) } else { field.send_keys(text).await }
            };
            match written.await {
                Ok(()) => return,
                Err(error) => last = Some(error),
            }
            // Clearing does not always scroll there, as focusing would.
            self.scroll_to(css).await;
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
        self.picture("failed").await;
        panic!("“{css}” can't be written into ({last:?}) in:\n{}", self.text().await);
    }

    /// Scrolls there: behind what stays at the edge of the window nothing can be pressed.
    async fn scroll_to(&self, css: &str) {
        let script = "document.querySelector(arguments[0])?.scrollIntoView({ block: 'center' })";
        self.client.execute(script, vec![css.into()]).await.unwrap();
    }

    pub async fn choose(&self, css: &str, value: &str) {
        let mut last = None;
        for _ in 0..20 {
            match self.find(css).await.select_by_value(value).await {
                Ok(()) => return,
                Err(error) => last = Some(error),
            }
            self.scroll_to(css).await;
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
        self.picture("failed").await;
        panic!("“{value}” can't be chosen in “{css}” ({last:?}) in:\n{}", self.text().await);
    }

    pub async fn go(&self, route: &str) {
        let script = format!("location.hash = '{route}'");
        self.client.execute(&script, vec![]).await.unwrap();
    }

    /// Calls a command of the shell as a hostile page would, and gives what it answers.
    pub async fn invoke(&self, command: &str, arguments: serde_json::Value) -> serde_json::Value {
        let script = "const done = arguments[arguments.length - 1];
            window.__TAURI_INTERNALS__.invoke(arguments[0], arguments[1])
                .then((ok) => done({ ok }), (error) => done({ error }))";
        self.client.execute_async(script, vec![command.into(), arguments]).await.unwrap()
    }

    /// A picture of the window as it is.
    pub async fn picture(&self, name: &str) {
        let folder = std::env::var_os("COLDBENCH_PICTURES").map_or_else(
            || Path::new(env!("CARGO_MANIFEST_DIR")).join("../target/pictures"),
            PathBuf::from,
        );
        std::fs::create_dir_all(&folder).unwrap();
        let fonts = "const done = arguments[0]; document.fonts.ready.then(() => done(true))";
        self.client.execute_async(fonts, vec![]).await.unwrap();
        let png = self.client.screenshot().await.unwrap();
        assert!(png.len() > 5_000, "the picture of {name} is empty");
        std::fs::write(folder.join(format!("{name}.png")), png).unwrap();
    }
}

/// A screen of its own for one window: of several on one screen without a desktop a single one has the
/// keyboard, and only there does the page know what has the focus.
pub struct Screen {
    server: Child,
    /// What `DISPLAY` is to be.
    pub name: String,
}

impl Screen {
    pub fn new() -> Self {
        let mut server = Command::new("Xvfb")
            .args(["-displayfd", "1", "-screen", "0", "1280x900x24", "-nolisten", "tcp"])
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("Xvfb is needed: tests/run installs it");
        let mut number = String::new();
        BufReader::new(server.stdout.take().unwrap()).read_line(&mut number).unwrap();
        Self { server, name: format!(":{}", number.trim()) }
    }
}

impl Drop for Screen {
    fn drop(&mut self) {
        let _ = self.server.kill();
        let _ = self.server.wait();
    }
}
