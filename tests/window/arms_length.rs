//! From where one stands: sizes of type and targets in small, usual and very large windows, and that
//! nothing is lost at twice the size or with wider spacing.

use crate::driver::{Bench, Window};
use coldbench::demo;
use fantoccini::actions::{InputSource, KeyAction, KeyActions};
use fantoccini::key::Key;
use serde_json::{Value, json};
use std::time::Duration;

/// Windows, how large a pixel is on a usual screen of that size in mm, and whether there is room for
/// the full size: 22 minutes of arc at 1 m. Without, the least that is read at all: 16.
const WINDOWS: [(u32, u32, f64, bool); 4] = [
    (800, 560, 0.265, false),
    (1024, 600, 0.265, false),
    (1280, 900, 0.265, true),
    (3840, 2160, 0.156, true),
];
/// Of Source Sans 3, in parts of the type's size.
const CAP_HEIGHT: f64 = 0.66;

/// What a screen must keep: nothing wider than the window, no words cut off by their own box.
const LOST: &str = "
    const wide = document.documentElement.clientWidth;
    const faults = [];
    if (document.documentElement.scrollWidth > wide) faults.push(
        `the page is ${document.documentElement.scrollWidth} wide in ${wide}`);
    const name = (one) => one.id ? '#' + one.id : `${one.tagName}.${one.className} “${(one.innerText ?? '').slice(0, 30)}”`;
    const scrolled = (one) => { for (let up = one.parentElement; up; up = up.parentElement)
        if (up.tagName === 'svg' || ['auto', 'scroll'].includes(getComputedStyle(up).overflowX)) return true; };
    for (const one of document.querySelectorAll('body *')) {
        const box = one.getBoundingClientRect();
        if (box.width < 2 || box.height < 2 || one.closest('.hidden, .past') || scrolled(one)) continue;
        if (box.right > wide + 1 || box.left < -1) faults.push(
            `${name(one)} reaches from ${box.left} to ${box.right} of ${wide}`);
        const { overflowX, overflowY } = getComputedStyle(one);
        const cut = (overflow) => overflow === 'hidden' || overflow === 'clip';
        if (one.matches('.drawing, figure, input, select, svg')) continue;
        if (cut(overflowX) && one.scrollWidth > one.clientWidth + 1
            || cut(overflowY) && one.scrollHeight > one.clientHeight + 1) faults.push(`${name(one)} is cut off`);
        if (one.matches('button, .button') && one.scrollWidth > one.clientWidth + 1)
            faults.push(`the words of ${name(one)} don't fit`);
    }
    return faults.slice(0, 6);";

/// Sizes of what is in the walk: type in CSS pixels, targets, and gaps that are too small.
const SIZES: &str = "
    const type = {};
    for (const css of ['#step-what', '#caution .words', '#value', '#sign', '#understand']) {
        const found = document.querySelector(css);
        if (found) type[css] = parseFloat(getComputedStyle(found).fontSize);
    }
    const targets = [...document.querySelectorAll(`main :is(button, .button, select,
        input:not([type=checkbox], [type=radio]), textarea)`)].filter((one) => one.getClientRects().length > 0);
    const faults = [];
    const critical = '#sign, #understand, #witness, #finished-rod';
    for (const one of targets) {
        const { width, height } = one.getBoundingClientRect();
        const least = one.matches(critical) ? 84 : 72;
        if (Math.min(width, height) < least - 0.5) faults.push(`#${one.id} is ${width} by ${height}, less than ${least}`);
    }
    const signs = (one) => one.matches(critical) || one.id === 'note-write';
    const gives_up = (one) => /cancel/.test(one.id);
    for (const [i, a] of targets.entries()) for (const b of targets.slice(i + 1)) {
        if (a.closest('.bar') !== b.closest('.bar') && getComputedStyle(document.querySelector('.bar')).position === 'sticky') continue;
        const [p, q] = [a.getBoundingClientRect(), b.getBoundingClientRect()];
        const gap = Math.max(q.left - p.right, p.left - q.right, q.top - p.bottom, p.top - q.bottom);
        const least = signs(a) && gives_up(b) || signs(b) && gives_up(a) ? 48 : 12;
        if (gap < least - 0.5) faults.push(`#${a.id} and #${b.id} are ${gap} apart, less than ${least}`);
    }
    return { type, faults, times: window.outerWidth / window.innerWidth };";

impl Window {
    /// Makes the window so large, and waits until the page has followed.
    async fn resize(&self, wide: u32, high: u32) {
        self.client.set_window_size(wide, high).await.unwrap();
        let script =
            "return [outerWidth, outerHeight, Math.round(innerWidth), Math.round(innerHeight)]";
        let mut last = Value::Null;
        for _ in 0..100 {
            tokio::time::sleep(Duration::from_millis(100)).await;
            let now = self.client.execute(script, vec![]).await.unwrap();
            if now == last && now[0] == wide && now[1] == high {
                return;
            }
            last = now;
        }
        panic!("the window never is {wide} by {high}: {last}");
    }

    async fn lost(&self, screen: &str) -> Vec<String> {
        let lost = self.client.execute(LOST, vec![]).await.unwrap();
        let lost = lost.as_array().unwrap();
        lost.iter().map(|fault| format!("{screen}: {}", fault.as_str().unwrap())).collect()
    }

    /// What is lost on any of the screens that can be gone to.
    async fn lost_anywhere(&self, how: &str) -> Vec<String> {
        let mut lost = Vec::new();
        for (route, view) in [
            ("#/", "rack"),
            ("#/new", "new"),
            ("#/rod/R-2", "rod"),
            ("#/layout/R-2", "layout"),
            ("#/air/S-1", "air"),
            ("#/crew", "crew"),
            ("#/lots", "lots"),
            ("#/material", "material"),
            ("#/checklists", "checklists"),
            ("#/ledger", "ledger"),
            ("#/print/R-1", "print"),
            ("#/walk/R-1/reel-seat", "walk"),
            ("#/walk/R-2/sleeve-by-heat", "walk"),
            ("#/walk/R-1/spine", "walk"),
        ] {
            self.go(route).await;
            self.find(&format!("main[data-view='{view}']")).await;
            lost.extend(self.lost(&format!("{how}, {route}")).await);
        }
        // The driver's pointer knows nothing of a page that is drawn larger.
        self.invoke("lock", json!({})).await;
        self.find("#unlock").await;
        let press = "document.querySelector(arguments[0]).click()";
        self.client.execute(press, vec!["#unlock".into()]).await.unwrap();
        self.find("#unlock-pin").await;
        lost.extend(self.lost(&format!("{how}, unlock")).await);
        self.client.execute(press, vec!["#unlock-cancel".into()]).await.unwrap();
        self.invoke("unlock", json!({ "person": "P-1", "pin": "2468" })).await;
        self.find("#lock").await;
        lost
    }
}

/// A demo whose spinning rod has its sleeve begun.
async fn opened(bench: &Bench) -> Window {
    let folder = bench.folder().join("shop");
    demo::make(&folder).unwrap();
    let window = bench.open(&folder).await;
    window.unlock("P-1", "2468").await;
    window.begin_stage("R-2", "sleeve-by-heat", "S-1").await;
    window.find("main[data-view='walk'] #understand").await;
    window
}

fn minutes_of_arc(pixels: f64, pixel_mm: f64) -> f64 {
    (pixels * pixel_mm * CAP_HEIGHT / 1000.0).atan().to_degrees() * 60.0
}

#[tokio::test(flavor = "multi_thread")]
async fn a_step_is_read_and_pressed_from_where_one_stands() {
    let bench = Bench::new();
    let window = opened(&bench).await;
    let mut faults = Vec::new();
    for held in [true, false] {
        if !held {
            window.resize(1280, 900).await;
            window.press("#understand").await;
            window.gone("#understand").await;
            window.press("#note-open").await;
            window.find("#note-cancel").await;
        }
        for (wide, high, pixel, room) in WINDOWS {
            window.resize(wide, high).await;
            let here = format!("{wide} by {high}, held {held}");
            let sizes = window.client.execute(SIZES, vec![]).await.unwrap();
            let times = sizes["times"].as_f64().unwrap();
            let asked = if held {
                vec![("#caution .words", 22.0), ("#understand", 22.0)]
            } else {
                vec![("#step-what", 22.0), ("#value", 22.0), ("#sign", 22.0)]
            };
            for (css, full) in asked {
                let pixels = sizes["type"][css].as_f64().unwrap() * times;
                let arc = minutes_of_arc(pixels, pixel);
                let least = if room { full } else { 16.0 };
                if arc < least {
                    faults.push(format!("{here}: {css} has {arc:.1}′ at 1 m, less than {least}′"));
                }
            }
            let small = sizes["faults"].as_array().unwrap().iter();
            faults.extend(small.map(|fault| format!("{here}: {}", fault.as_str().unwrap())));
            faults.extend(window.lost(&here).await);
            // So many pixels are painted a while after they are laid out.
            tokio::time::sleep(Duration::from_secs(2)).await;
            window.picture(&format!("arm-{wide}-{}", if held { "held" } else { "step" })).await;
        }
    }
    // The longest step is as large as any: it is scrolled.
    window.resize(1024, 600).await;
    let script = "const words = document.querySelector('#step-what');
        const size = () => getComputedStyle(words).fontSize;
        const before = size();
        words.textContent = 'Wind it on evenly and look at it from all sides. '.repeat(30);
        return [before, size(), document.documentElement.scrollHeight > innerHeight]";
    let long = window.client.execute(script, vec![]).await.unwrap();
    assert_eq!(long[0], long[1], "a long step shrinks");
    assert_eq!(long[2], true, "a long step is not scrolled");
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    window.kill().await;
}

/// The same on a screen whose pixels are half as large.
#[tokio::test(flavor = "multi_thread")]
async fn nothing_changes_with_finer_pixels() {
    let bench = Bench::with_environment(&[("GDK_SCALE", "2")]);
    let window = opened(&bench).await;
    let script = "return [devicePixelRatio, outerWidth, innerWidth, getComputedStyle(document.querySelector('#understand')).fontSize]";
    window.resize(1280, 900).await;
    let told = window.client.execute(script, vec![]).await.unwrap();
    assert_eq!(told[0], 2, "{told}");
    assert_eq!(told[1], told[2], "drawn larger twice: {told}");
    assert_eq!(told[3], "37px", "{told}");
    let lost = window.lost("fine pixels").await;
    assert!(lost.is_empty(), "{}", lost.join("\n"));
    window.kill().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn nothing_is_lost_in_any_window_at_twice_the_size_or_with_wide_spacing() {
    let bench = Bench::new();
    let window = opened(&bench).await;
    let mut lost = Vec::new();
    for (wide, high, ..) in WINDOWS {
        window.resize(wide, high).await;
        lost.extend(window.lost_anywhere(&format!("{wide} by {high}")).await);
    }
    window.resize(1280, 900).await;
    // What WCAG 1.4.12 asks to bear.
    let spaced = "const sheet = new CSSStyleSheet();
        sheet.replaceSync(`* { line-height: 1.5 !important; letter-spacing: 0.12em !important;
            word-spacing: 0.16em !important } p { margin-bottom: 2em !important }`);
        document.adoptedStyleSheets = [sheet]";
    window.client.execute(spaced, vec![]).await.unwrap();
    lost.extend(window.lost_anywhere("wide spacing").await);
    window.client.execute("document.adoptedStyleSheets = []", vec![]).await.unwrap();

    for _ in 0..4 {
        let keys = KeyActions::new("keys".to_owned())
            .then(KeyAction::Down { value: Key::Control.into() })
            .then(KeyAction::Down { value: '+' })
            .then(KeyAction::Up { value: '+' })
            .then(KeyAction::Up { value: Key::Control.into() });
        window.client.perform_actions(keys).await.unwrap();
    }
    let script = "return Math.round(outerWidth / innerWidth * 100) / 100";
    for _ in 0..50 {
        if window.client.execute(script, vec![]).await.unwrap() == 2 {
            break;
        }
        tokio::time::sleep(Duration::from_millis(100)).await;
    }
    assert_eq!(window.client.execute(script, vec![]).await.unwrap(), 2, "Ctrl and plus do nothing");
    lost.extend(window.lost_anywhere("twice the size").await);
    window.at_walk("R-2", "sleeve-by-heat").await;
    window.picture("twice-the-size").await;
    // What is too wide is found.
    let wide = "document.querySelector('#sign').style.width = '3000px'";
    window.client.execute(wide, vec![]).await.unwrap();
    assert!(!window.lost("too wide").await.is_empty());
    assert!(lost.is_empty(), "{}", lost.join("\n"));
    window.kill().await;
}
