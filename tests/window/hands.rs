//! A stage walked with one key and what must be typed; called away in the middle of it; alarms seen and told
//! to a desktop; a step read aloud. In the real window.

use crate::bench_work::measured;
use crate::driver::{Bench, Window};
use crate::figures::measured_rod;
use coldbench::demo;
use glib::prelude::*;
use std::fs::File;
use std::io::Write as _;
use std::os::unix::fs::PermissionsExt as _;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

const LEAD: (&str, &str) = ("P-1", "2468");
/// After the two rods of the demo.
const ROD: &str = "R-3";
const STAGE: &str = "blank-intake";

/// Longer than a pedal bounces.
const PRESS: Duration = Duration::from_millis(800);

impl Window {
    /// A press of the pedal, long enough after the one before, wherever the focus is.
    async fn pedal(&self, key: &str) {
        tokio::time::sleep(PRESS).await;
        let focused = self.client.active_element().await.unwrap();
        focused.send_keys(key).await.unwrap();
    }

    async fn focused(&self) -> String {
        let script = "return document.activeElement.id";
        let id = self.client.execute(script, vec![]).await.unwrap();
        id.as_str().unwrap_or_default().to_owned()
    }

    /// Types what was measured at the step at hand into the field that has the focus, then Enter.
    async fn type_measured(&self, stage: &str, step: &str) {
        for value in measured(stage, step).split(" | ") {
            self.write("#value", value).await;
            let count = "return (document.querySelector('#value-now')?.dataset.count ?? '0')";
            let before = self.client.execute(count, vec![]).await.unwrap();
            self.find("#value").await.send_keys("\u{e007}").await.unwrap();
            while self.client.execute(count, vec![]).await.unwrap() == before {
                tokio::time::sleep(Duration::from_millis(50)).await;
            }
        }
        self.find("#value-now[data-within='true']").await;
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn one_key_walks_a_stage_and_an_interruption_leads_back() {
    let bench = Bench::new();
    let folder = bench.folder().join("shop");
    demo::make(&folder).unwrap();
    let window = bench.open(&folder).await;
    window.go("#/bench").await;
    window.find("main[data-view='bench']").await;
    window.press("#go-on-key").await;
    window.says("Press the pedal now").await;
    window.picture("this-bench").await;
    window.pedal("a").await;
    window.says("It would break typing").await;

    window.unlock(LEAD.0, LEAD.1).await;
    window.open_bench("S-1").await;
    measured_rod(&window).await;
    window.begin_stage(ROD, STAGE, "S-1").await;
    let mut view = window.at_walk(ROD, STAGE).await;
    window.find("#step-what").await;
    let mut interrupted = false;
    let mut typed = 0;
    while view["position"] != "finished" {
        let number = view["step"]["number"].as_u64().unwrap();
        let step = view["step"]["id"].as_str().unwrap().to_owned();
        window.says(&format!("Step {number} of")).await;
        if number == 2 && !interrupted {
            interrupted = true;
            window.pedal("\u{e038}").await; // F8
            window.find("#away").await;
            window.says("was called away").await;
            window.says("Step 1:").await;
            let place =
                serde_json::json!({ "place": { "rod": ROD, "stage": STAGE, "step": step } });
            let refused = window.invoke("sign", place).await;
            assert_eq!(refused["error"]["code"], "is-away", "{refused}");
            window.picture("walk-away").await;
            window.pedal(" ").await;
            window.gone("#away").await;
        }
        // Presses until it waits for the signature, or leads to what must be typed.
        let mut presses = 0;
        while !window.has("#sign-waits").await {
            window.pedal(" ").await;
            tokio::time::sleep(Duration::from_millis(300)).await;
            if window.focused().await == "value" {
                window.says("then Enter").await;
                window.type_measured(STAGE, &step).await;
                typed += 1;
            }
            presses += 1;
            assert!(presses < 12, "step {number} is never done:\n{}", window.text().await);
        }
        if number == 1 {
            window.picture("walk-take-back").await;
            window.pedal(" ").await;
            window.says("Taken back: nothing was signed.").await;
            assert!(!window.has("#sign-waits").await);
            window.pedal(" ").await;
        }
        // The ten seconds run out by themselves.
        window.gone("#sign-waits").await;
        view = window.moved_on(ROD, STAGE, number).await;
    }
    assert!(interrupted && typed > 3, "typed {typed} times");
    window.kill().await;
}

/// A desktop's bus of our own, with a desktop at it that writes down what it is asked.
struct Desktop {
    daemon: Child,
    address: String,
}

/// What of a desktop's services is asked for.
const SERVICES: &str = r#"<node>
<interface name="org.freedesktop.Notifications"><method name="Notify">
<arg type="s" direction="in"/><arg type="u" direction="in"/><arg type="s" direction="in"/>
<arg type="s" direction="in"/><arg type="s" direction="in"/><arg type="as" direction="in"/>
<arg type="a{sv}" direction="in"/><arg type="i" direction="in"/><arg type="u" direction="out"/>
</method></interface>
<interface name="org.freedesktop.ScreenSaver"><method name="Inhibit">
<arg type="s" direction="in"/><arg type="s" direction="in"/><arg type="u" direction="out"/>
</method><method name="UnInhibit"><arg type="u" direction="in"/></method></interface>
</node>"#;

impl Desktop {
    fn new(folder: &Path) -> Self {
        let address = format!("unix:path={}", folder.join("bus").display());
        let daemon = Command::new("dbus-daemon")
            .args(["--session", "--nofork", "--nopidfile", &format!("--address={address}")])
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("dbus-daemon is needed: tests/run installs it");
        while !folder.join("bus").exists() {
            std::thread::sleep(Duration::from_millis(20));
        }
        let (ready, is_ready) = std::sync::mpsc::channel();
        let (at, heard) = (address.clone(), folder.join("heard"));
        // It answers until the test's process ends.
        std::thread::spawn(move || answer(&at, &heard, &ready));
        is_ready.recv().unwrap();
        Self { daemon, address }
    }
}

fn answer(address: &str, heard: &Path, ready: &std::sync::mpsc::Sender<()>) {
    let context = glib::MainContext::new();
    let serve = || {
        let flags = gio::DBusConnectionFlags::AUTHENTICATION_CLIENT
            | gio::DBusConnectionFlags::MESSAGE_BUS_CONNECTION;
        let none = None::<&gio::Cancellable>;
        let bus = gio::DBusConnection::for_address_sync(address, flags, None, none).unwrap();
        bus.set_exit_on_close(false);
        let services = gio::DBusNodeInfo::for_xml(SERVICES).unwrap();
        for service in ["Notifications", "ScreenSaver"] {
            let name = format!("org.freedesktop.{service}");
            let heard = heard.to_owned();
            bus.register_object(
                &format!("/org/freedesktop/{service}"),
                &services.lookup_interface(&name).unwrap(),
                move |_, _, _, _, method, arguments, call| {
                    let mut file = File::options().create(true).append(true).open(&heard).unwrap();
                    writeln!(file, "{method} {arguments}").unwrap();
                    let number = (method != "UnInhibit").then(|| (7_u32,).to_variant());
                    call.return_value(number.as_ref());
                },
                |_, _, _, _, _| ().to_variant(),
                |_, _, _, _, _, _| false,
            )
            .unwrap();
            let bus_name = "org.freedesktop.DBus";
            let ask = (name.as_str(), 0_u32).to_variant();
            let flags = gio::DBusCallFlags::NONE;
            let path = "/org/freedesktop/DBus";
            bus.call_sync(
                Some(bus_name),
                path,
                bus_name,
                "RequestName",
                Some(&ask),
                None,
                flags,
                -1,
                none,
            )
            .unwrap();
        }
        ready.send(()).unwrap();
        glib::MainLoop::new(Some(&context), false).run();
    };
    context.with_thread_default(serve).unwrap();
}

impl Drop for Desktop {
    fn drop(&mut self) {
        let _ = self.daemon.kill();
        let _ = self.daemon.wait();
    }
}

/// Waits until a file holds some words.
async fn holds(file: &Path, words: &str) {
    for _ in 0..500 {
        if std::fs::read_to_string(file).unwrap_or_default().contains(words) {
            return;
        }
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
    panic!("“{words}” never comes:\n{}", std::fs::read_to_string(file).unwrap_or_default());
}

#[tokio::test(flavor = "multi_thread")]
async fn alarms_stand_on_every_screen_reach_the_desktop_and_a_step_is_read_aloud() {
    let folder = tempfile::tempdir().unwrap();
    let desktop = Desktop::new(folder.path());
    // A voice that writes down what it is given.
    let voices = folder.path().join("voices");
    std::fs::create_dir(&voices).unwrap();
    let spoken = folder.path().join("spoken");
    let voice = voices.join("spd-say");
    let script = format!("#!/bin/sh\necho \"$*\" >>'{}'\nexec sleep 60\n", spoken.display());
    std::fs::write(&voice, script).unwrap();
    std::fs::set_permissions(&voice, std::fs::Permissions::from_mode(0o755)).unwrap();
    let path = format!("{}:{}", voices.display(), std::env::var("PATH").unwrap());

    let bench =
        Bench::with_environment(&[("DBUS_SESSION_BUS_ADDRESS", &desktop.address), ("PATH", &path)]);
    let shop = bench.folder().join("shop");
    demo::make(&shop).unwrap();
    let window = bench.open(&shop).await;
    window.unlock(LEAD.0, LEAD.1).await;
    window.open_bench("S-2").await;
    window.begin_stage("R-2", "sleeve-by-heat", "S-2").await;
    let view = window.at_walk("R-2", "sleeve-by-heat").await;
    let heard = folder.path().join("heard");
    // The screen is kept awake while a step is worked on.
    holds(&heard, "Inhibit ('Coldbench'").await;

    window.press("#read-aloud").await;
    let what = view["step"]["what"].as_str().unwrap();
    holds(&spoken, what).await;
    let line = std::fs::read_to_string(&spoken).unwrap();
    assert!(line.starts_with("--wait -- "), "{line}");
    window.pedal("\u{e039}").await; // F9: the second press stops it
    holds(&spoken, "--cancel").await;

    // The cure of the demo's other rod runs out, while the rack is on the screen.
    window.go("#/").await;
    window.find("main[data-view='rack']").await;
    holds(&heard, "UnInhibit (uint32 7,)").await;
    assert!(!window.has("#alarms").await, "nothing is alarmed about yet");
    bench.shift_clock(3 * 24 * 60);
    window.find("#alarm-0").await;
    window.says("Cure over.").await;
    holds(&heard, "Notify ('Coldbench'").await;
    holds(&heard, "Cure over.").await;
    window.picture("alarm").await;
    window.go("#/bench").await;
    window.find("main[data-view='bench']").await;
    window.find("#alarm-0").await;
    window.press("#alarm-noted-0").await;
    window.gone("#alarm-0").await;
    window.kill().await;
}
