//! F1 on every screen, and the guide, in the window.

use crate::driver::Bench;
use coldbench::demo;

const F1: char = '\u{e031}';
const ESCAPE: char = '\u{e00c}';
const ENTER: char = '\u{e007}';

#[tokio::test(flavor = "multi_thread")]
async fn each_screen_is_explained_and_the_keyboard_comes_back() {
    let bench = Bench::new();
    let shop = bench.folder().join("demo");
    demo::make(&shop).unwrap();
    let window = bench.open(&shop).await;
    window.find("main[data-view='rack']").await;
    for (route, view, title) in [
        ("#/", "rack", "The rack"),
        ("#/rod/R-1", "rod", "The sheet of a rod"),
        ("#/layout/R-1", "layout", "Bend and guides"),
        ("#/walk/R-1/spine", "walk", "The walk through a stage"),
        ("#/air/S-1", "air", "Air: one station"),
        ("#/material", "material", "Write down a material"),
        ("#/lots", "lots", "Lots"),
        ("#/checklists", "checklists", "Checklists"),
        ("#/ledger", "ledger", "Ledger"),
        ("#/print/R-1", "print", "Print"),
        ("#/crew", "crew", "Crew"),
        ("#/new", "new", "A new rod"),
    ] {
        window.go(route).await;
        window.find(&format!("main[data-view='{view}']")).await;
        window.key(F1).await;
        window.at("#explain-close").await;
        let told = window.find("#explain-title").await.text().await.unwrap();
        assert_eq!(told, title);
        window.picture(&format!("explain-{view}")).await;
        window.key(ESCAPE).await;
        window.gone("#explain").await;
    }
    // The first field of the form had the keyboard, and has it again.
    window.at("#customer").await;

    let button = window.find("#explain-open").await;
    assert_eq!(
        button.attr("aria-label").await.unwrap().as_deref(),
        Some("Explain this screen (F1)")
    );
    button.click().await.unwrap();
    window.at("#explain-close").await;
    window.key(ENTER).await;
    window.gone("#explain").await;
    window.at("#explain-open").await;
    window.kill().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn each_page_of_the_guide_fits_the_window() {
    let bench = Bench::new();
    let shop = bench.folder().join("demo");
    demo::make(&shop).unwrap();
    let window = bench.open(&shop).await;
    window.press("#to-guide").await;
    for page in [1, 2] {
        window.find("main[data-view='guide']").await;
        window.find(&format!("#guide-other[href='#/guide/{}']", 3 - page)).await;
        // The text ends above the lower edge, and no letter of it is smaller than 18 px.
        let script = "const text = document.querySelector('#guide-text');
            const sizes = [...text.querySelectorAll('p, li, h2')].map((of) =>
                parseFloat(getComputedStyle(of).fontSize));
            return [text.getBoundingClientRect().bottom - innerHeight, Math.min(...sizes)]";
        let measured = window.client.execute(script, vec![]).await.unwrap();
        // Two frames later it is painted.
        let frames = "const done = arguments[0];
            requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done, 0, true)))";
        window.client.execute_async(frames, vec![]).await.unwrap();
        window.picture(&format!("guide-{page}")).await;
        let [over, smallest]: [f64; 2] = serde_json::from_value(measured).unwrap();
        assert!(over <= 0.0, "page {page} is {over} px too long");
        assert!(smallest >= 18.0, "{smallest} px");
        window.press("#guide-other").await;
    }
    window.kill().await;
}
