//! The sheet in other light: what the themes promise beyond what axe asks for, and that a system which
//! asks for less motion gets none.

use crate::axe::THEMES;
use crate::driver::{Bench, Window};
use coldbench::demo;

/// The contrast of the words of an element with the ground they stand on, as WCAG works it out.
const CONTRAST: &str = "
    const parts = (colour) => colour.match(/[\\d.]+/g).map(Number);
    const bright = (colour) => {
        const [r, g, b] = parts(colour).slice(0, 3).map((part) => {
            const share = part / 255;
            return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
        });
        return 0.2126 * r + 0.7152 * g + 0.0722 * b;
    };
    const element = document.querySelector(arguments[0]);
    const words = getComputedStyle(element)[arguments[1]];
    let ground = element;
    while ((parts(getComputedStyle(ground).backgroundColor)[3] ?? 1) === 0) ground = ground.parentElement;
    const [light, dark] = [words, getComputedStyle(ground).backgroundColor]
        .map(bright).sort((a, b) => b - a);
    return (light + 0.05) / (dark + 0.05);";

impl Window {
    async fn contrast(&self, css: &str, property: &str) -> f64 {
        self.find(css).await;
        let asked = vec![css.into(), property.into()];
        self.client.execute(CONTRAST, asked).await.unwrap().as_f64().unwrap()
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn the_words_of_a_step_stand_out_in_every_light() {
    let bench = Bench::new();
    let folder = bench.folder().join("shop");
    demo::make(&folder).unwrap();
    let window = bench.open(&folder).await;
    window.unlock("P-1", "2468").await;
    window.begin_stage("R-2", "sleeve-by-heat", "S-1").await;
    window.at_walk("R-2", "sleeve-by-heat").await;
    let mut faults = Vec::new();
    for held in [true, false] {
        if !held {
            window.press("#understand").await;
            window.gone("#understand").await;
        }
        for theme in THEMES {
            window.theme(theme).await;
            for (css, property, least) in [
                ("#step-what", "color", 7.0),
                ("#step dd", "color", 7.0),
                ("#caution .words", "color", 7.0),
                ("#caution .word", "color", 4.5),
                ("#caution", "borderLeftColor", 3.0),
                ("#sign", "borderTopColor", 3.0),
            ] {
                let contrast = window.contrast(css, property).await;
                if contrast < least {
                    faults.push(format!("{css} {property}, “{theme}”, held {held}: {contrast:.2}"));
                }
            }
            let name = if theme.is_empty() { "paper" } else { theme };
            let state = if held { "held" } else { "step" };
            window.picture(&format!("walk-{state}-{name}")).await;
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));

    // A hazard is told by its word and its hatched edge, in any colour.
    let script = "return [document.querySelector('#caution .word').innerText,
        getComputedStyle(document.querySelector('#caution'), '::before').backgroundImage]";
    let told = window.client.execute(script, vec![]).await.unwrap();
    assert_eq!(told[0], "Caution");
    assert!(told[1].as_str().unwrap().contains("repeating-linear-gradient"), "{told}");

    for theme in ["dark", "sun"] {
        window.theme(theme).await;
        for (route, view) in
            [("#/", "rack"), ("#/rod/R-2", "rod"), ("#/air/S-1", "air"), ("#/layout/R-2", "layout")]
        {
            window.go(route).await;
            window.find(&format!("main[data-view='{view}']")).await;
            window.picture(&format!("{view}-{theme}")).await;
        }
    }
    window.kill().await;
}

/// The toolkit tells the page what the desktop's setting is.
#[tokio::test(flavor = "multi_thread")]
async fn less_motion_is_none() {
    let bench = Bench::with_toolkit_settings("gtk-enable-animations=0");
    let window = bench.open(&bench.folder().join("shop")).await;
    let moves = "const sheet = new CSSStyleSheet();
        sheet.replaceSync('@keyframes probe { to { left: 9px } } #app { animation: probe 9s infinite; transition: left 9s }');
        document.adoptedStyleSheets = [sheet];
        const { animationName, transitionDuration, transitionProperty } = getComputedStyle(document.querySelector('#app'));
        return [matchMedia('(prefers-reduced-motion: reduce)').matches, animationName, transitionDuration, transitionProperty]";
    let still = window.client.execute(moves, vec![]).await.unwrap();
    assert_eq!(still[0], true, "the page is not told of the setting: {still}");
    assert_eq!(still[1], "none", "{still}");
    assert!(still[2] == "0s" || still[3] == "none", "{still}");
    window.kill().await;
}
