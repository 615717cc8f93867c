//! What is asked of the desktop over its own bus: show a notification, keep the screen awake. A desktop
//! that has no such service is none the worse for it, and is told about in a sentence.

use crate::error::ShellError;
use gio::prelude::*;
use gio::{BusType, Cancellable, DBusCallFlags, DBusConnection};
use std::collections::HashMap;
use std::sync::{Mutex, PoisonError};

const PATIENCE_MS: i32 = 2000;
/// The desktop keeps it on the screen until it is looked at.
const CRITICAL: u8 = 2;

/// Shows a notification.
pub fn notify(title: &str, words: &str) -> Result<(), ShellError> {
    let hints: HashMap<&str, glib::Variant> = HashMap::from([("urgency", CRITICAL.to_variant())]);
    let message =
        ("Coldbench", 0_u32, "", title, words, Vec::<String>::new(), hints, 0_i32).to_variant();
    let name = "org.freedesktop.Notifications";
    call(&bus()?, name, "/org/freedesktop/Notifications", "Notify", &message)
        .map(drop)
        .map_err(|_| ShellError::NoNotifications)
}

/// While it is held, the screen stays awake.
#[derive(Default)]
pub struct Awake(Mutex<Option<(DBusConnection, u32)>>);

const SCREEN: &str = "org.freedesktop.ScreenSaver";
const SCREEN_PATH: &str = "/org/freedesktop/ScreenSaver";

impl Awake {
    /// Keeps the screen awake, or lets it sleep again. Asked twice, it is held once.
    pub fn hold(&self, on: bool) -> Result<(), ShellError> {
        let mut held = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if on == held.is_some() {
            return Ok(());
        }
        if let Some((bus, cookie)) = held.take() {
            call(&bus, SCREEN, SCREEN_PATH, "UnInhibit", &(cookie,).to_variant())?;
            return Ok(());
        }
        let why = ("Coldbench", "A step is being worked on.").to_variant();
        let bus = bus()?;
        let answer = call(&bus, SCREEN, SCREEN_PATH, "Inhibit", &why)?;
        *held = answer.get::<(u32,)>().map(|(cookie,)| (bus, cookie));
        Ok(())
    }
}

fn bus() -> Result<DBusConnection, ShellError> {
    gio::bus_get_sync(BusType::Session, None::<&Cancellable>)
        .map_err(|error| ShellError::NoDesktop(error.message().to_owned()))
}

fn call(
    bus: &DBusConnection,
    name: &str,
    path: &str,
    method: &str,
    arguments: &glib::Variant,
) -> Result<glib::Variant, ShellError> {
    bus.call_sync(
        Some(name),
        path,
        name,
        method,
        Some(arguments),
        None,
        DBusCallFlags::NONE,
        PATIENCE_MS,
        None::<&Cancellable>,
    )
    .map_err(|error| ShellError::NoDesktop(error.message().to_owned()))
}
