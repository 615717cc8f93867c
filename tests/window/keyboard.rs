//! The main job by keyboard alone: no click, no script that goes anywhere. Wherever the focus comes to
//! rest it is seen: it has a mark that it loses again, and nothing lies over it.

use crate::driver::{Bench, Screen, Window};
use coldbench::demo;
use fantoccini::actions::{InputSource, KeyAction, KeyActions};
use fantoccini::key::Key;

/// What holds for the element that has the focus, and whether the one before has lost its mark.
const STOP: &str = "
    const marks = (element) => [element, ...element.querySelectorAll('*')].map((one) => {
        const { outlineStyle, outlineWidth, boxShadow, stroke, strokeWidth } = getComputedStyle(one);
        return [outlineStyle === 'none' ? '' : outlineWidth, boxShadow, stroke, strokeWidth].join();
    }).join(';');
    const name = (element) => element.id ? '#' + element.id
        : `${element.tagName} “${(element.getAttribute('aria-label') ?? element.innerText ?? '').slice(0, 40)}”`;
    const faults = [];
    const before = window.stopBefore;
    if (before?.element.isConnected && before.element !== document.activeElement
        && marks(before.element) === before.marks) faults.push(`${before.name} shows no focus`);
    const element = document.activeElement;
    window.stopBefore = { element, marks: marks(element), name: name(element) };
    if (element === document.body) return [name(element), faults, false];
    const box = (element.querySelector('.touch') ?? element).getBoundingClientRect();
    const [high, wide] = [innerHeight, innerWidth];
    if (box.width < 1 || box.height < 1) faults.push(`${name(element)} has no size`);
    if (box.top < -1 && box.height < high || box.bottom > high + 1 && box.height < high
        || box.top > high || box.bottom < 0) {
        faults.push(`${name(element)} lies outside the window, ${box.top} to ${box.bottom} of ${high}`);
    }
    if (box.left < -1 || box.right > wide + 1) {
        faults.push(`${name(element)} lies outside the window, ${box.left} to ${box.right} of ${wide}`);
    }
    // Of two drawn parts at one place the clear one lies over the other: their words don't.
    const words = (element.querySelector('.flag') ?? element).getBoundingClientRect();
    for (const share of [0.1, 0.5, 0.9]) {
        const at = words.top + words.height * share;
        if (at < 0 || at >= high) continue;
        const over = document.elementFromPoint(words.left + words.width / 2, at);
        if (over && !element.contains(over) && !over.contains(element)) {
            faults.push(`${name(element)} is hidden under ${name(over)}`);
        }
    }
    return [name(element), faults, element.matches(arguments[0])];";

/// A window and what was wrong where the focus came to rest.
struct Hands<'a> {
    window: &'a Window,
    faults: Vec<String>,
    stops: usize,
}

impl Hands<'_> {
    async fn press(&self, key: Key) {
        self.chord(&[], key.into()).await;
    }

    async fn chord(&self, held: &[Key], key: char) {
        let mut keys = KeyActions::new("keys".to_owned());
        for hold in held {
            keys = keys.then(KeyAction::Down { value: (*hold).into() });
        }
        keys = keys.then(KeyAction::Down { value: key }).then(KeyAction::Up { value: key });
        for hold in held.iter().rev() {
            keys = keys.then(KeyAction::Up { value: (*hold).into() });
        }
        self.window.client.perform_actions(keys).await.unwrap();
    }

    async fn write(&self, text: &str) {
        let mut keys = KeyActions::new("keys".to_owned());
        for value in text.chars() {
            keys = keys.then(KeyAction::Down { value }).then(KeyAction::Up { value });
        }
        self.window.client.perform_actions(keys).await.unwrap();
    }

    /// Looks at where the focus is; says what it is on, and whether that is the one looked for.
    async fn stop(&mut self, css: &str) -> (String, bool) {
        // As it is drawn: the frame round what has the keyboard comes with the next picture.
        let drawn = "const done = arguments[0];
            requestAnimationFrame(() => requestAnimationFrame(() => done(true)));";
        self.window.client.execute_async(drawn, vec![]).await.unwrap();
        let stop = self.window.client.execute(STOP, vec![css.into()]).await.unwrap();
        self.stops += 1;
        let faults = stop[1].as_array().unwrap();
        for fault in faults.iter().map(|fault| fault.as_str().unwrap().to_owned()) {
            if !self.faults.contains(&fault) {
                self.faults.push(fault);
            }
        }
        (stop[0].as_str().unwrap().to_owned(), stop[2] == true)
    }

    /// Goes on with Tab until the focus is on an element.
    async fn tab_to(&mut self, css: &str) {
        self.go_to(css, &[]).await;
    }

    /// Goes back with Shift+Tab until the focus is on an element.
    async fn back_to(&mut self, css: &str) {
        self.go_to(css, &[Key::Shift]).await;
    }

    async fn go_to(&mut self, css: &str, held: &[Key]) {
        self.window.find(css).await;
        let mut passed = Vec::new();
        for _ in 0..150 {
            self.chord(held, Key::Tab.into()).await;
            let (name, there) = self.stop(css).await;
            if there {
                return;
            }
            passed.push(name);
        }
        panic!("the keyboard never comes to “{css}”; it passes:\n{}", passed.join("\n"));
    }

    /// Goes to an element and presses Enter there.
    async fn enter(&mut self, css: &str) {
        self.tab_to(&format!("{css}:not([disabled])")).await;
        self.press(Key::Enter).await;
    }

    /// Goes to a field and writes into it.
    async fn fill(&mut self, css: &str, text: &str) {
        self.tab_to(css).await;
        self.write(text).await;
    }

    /// Goes to a list to choose from and goes down it until it stands on a value.
    async fn choose(&mut self, css: &str, value: &str) {
        self.tab_to(css).await;
        for _ in 0..6 {
            let script = "return document.activeElement.value";
            let at = self.window.client.execute(script, vec![]).await.unwrap();
            if at == value {
                return;
            }
            self.press(Key::Down).await;
        }
        panic!("the arrow keys never come to {value} in “{css}”");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn the_main_job_is_done_by_keyboard_alone() {
    let screen = Screen::new();
    let bench = Bench::with_environment(&[("DISPLAY", &screen.name)]);
    let folder = bench.folder().join("shop");
    demo::make(&folder).unwrap();
    let window = bench.open(&folder).await;
    let mut hands = Hands { window: &window, faults: Vec::new(), stops: 0 };
    window.find("main[data-view='rack']").await;
    past_the_header(&mut hands).await;
    unlock(&mut hands).await;
    a_signed_step(&mut hands).await;
    cleared_for_heat(&mut hands).await;
    one_more_helper(&mut hands).await;
    let file = bench.folder().join("log.pdf");
    printed(&mut hands, file.to_str().unwrap()).await;
    assert!(file.exists());
    assert!(hands.stops > 100, "{} stops", hands.stops);
    assert!(hands.faults.is_empty(), "{}", hands.faults.join("\n"));
    window.kill().await;
}

/// The keyboard stands at what is next. Back at the top, the first stop offers the way past the header,
/// and the one after it is on the screen below.
async fn past_the_header(hands: &mut Hands<'_>) {
    hands.back_to("#past-header").await;
    hands.press(Key::Enter).await;
    let (main, there) = hands.stop("#main").await;
    assert!(there, "Enter leads to {main}");
    hands.press(Key::Tab).await;
    let (next, there) = hands.stop("main *").await;
    assert!(there, "the next stop is {next}");
    hands.window.find("main[data-view='rack']").await;
}

async fn unlock(hands: &mut Hands<'_>) {
    hands.back_to("#unlock").await;
    hands.press(Key::Enter).await;
    hands.window.find("#unlock-pin").await;
    // Escape closes it, and the focus is back on what opened it.
    hands.press(Key::Escape).await;
    hands.window.gone("#unlock-pin").await;
    let (back, there) = hands.stop("#unlock").await;
    assert!(there, "Escape leads to {back}");
    hands.press(Key::Enter).await;
    hands.window.find("#unlock-pin").await;
    hands.choose("#unlock-person", "P-1").await;
    hands.fill("#unlock-pin", "2468").await;
    hands.press(Key::Enter).await;
    hands.window.find("#lock").await;
}

async fn a_signed_step(hands: &mut Hands<'_>) {
    hands.enter("#rod-R-2 h2 a").await;
    hands.window.find("main[data-view='rod']").await;
    hands.choose("#station-sleeve-by-heat", "S-1").await;
    hands.enter("#begin-sleeve-by-heat").await;
    hands.window.find("main[data-view='walk']").await;
    hands.window.says("Step 1 of").await;
    hands.tab_to("#understand").await;
    hands.press(Key::Space).await;
    hands.window.gone("#understand").await;
    hands.window.find("#step-what:focus").await;
    hands.stop("#step-what").await;
    hands.fill("#value", "76 %").await;
    hands.press(Key::Enter).await;
    hands.window.find("#value-now[data-within='true']").await;
    hands.fill("#lot", "PO-1188").await;
    hands.press(Key::Enter).await;
    hands.window.find("#lot-now").await;
    // Past all there is on the screen, with the bar to sign lying over its end, and back.
    hands.tab_to("#sign").await;
    hands.back_to("#value").await;
    hands.tab_to("#sign").await;
    hands.press(Key::Space).await;
    hands.window.says("Step 2 of").await;
    // With nothing else asked, Space signs from the words of the step.
    hands.fill("#value", "63 %").await;
    hands.press(Key::Enter).await;
    hands.window.find("#value-now[data-within='true']").await;
    hands.window.find("#step-what:focus").await;
    hands.press(Key::Space).await;
    hands.window.says("Step 3 of").await;
}

async fn cleared_for_heat(hands: &mut Hands<'_>) {
    hands.enter("#nav-air").await;
    hands.window.find("main[data-view='air']").await;
    hands.enter("#begin-heat-clearance").await;
    hands.fill("#speed-airflow", "200 fpm").await;
    hands.fill("#opening-airflow", "1.2 ft2").await;
    hands.enter("#record-measured-airflow").await;
    answered(hands, "airflow").await;
    // Where each container is: a set of which one is chosen, by arrow or by Space.
    hands.tab_to("[id^=where-F-1-]").await;
    hands.press(Key::Space).await;
    while !hands.window.has("#where-F-1-closed-away:checked").await {
        hands.press(Key::Down).await;
    }
    hands.enter("#record-flammables").await;
    answered(hands, "flammables").await;
    for check in ["rags", "wet-work"] {
        hands.enter(&format!("#state-{check}-0")).await;
        answered(hands, check).await;
    }
    for (check, value) in [("vapour", "1 %"), ("distance", "36 ft"), ("gun", "140 °C")] {
        hands.fill(&format!("#answer-{check}"), value).await;
        hands.press(Key::Enter).await;
        answered(hands, check).await;
    }
    hands.enter("#state-extinguisher-0").await;
    answered(hands, "extinguisher").await;
    hands.choose("#answer-watcher", "P-2").await;
    hands.enter("#record-watcher").await;
    answered(hands, "watcher").await;
    hands.fill("#complete-pin", "2468").await;
    hands.press(Key::Enter).await;
    hands.window.gone("#complete").await;
    hands.window.says("Cleared for heat").await;
}

async fn answered(hands: &mut Hands<'_>, check: &str) {
    hands.window.find(&format!("#check-{check}[data-standing='passes']")).await;
}

async fn one_more_helper(hands: &mut Hands<'_>) {
    hands.enter("#nav-crew").await;
    hands.window.find("main[data-view='crew']").await;
    // Its table comes a moment later, and moves what stands below.
    hands.window.find("#crew-table tbody tr").await;
    hands.fill("#person-name", "Pip Lanternby").await;
    hands.choose("#person-role", "helper").await;
    hands.fill("#person-pin", "help-0815").await;
    hands.press(Key::Enter).await;
    // Both tables above grow by them, and move what stands below.
    let tables = "return [...document.querySelectorAll('table')]
        .filter((table) => table.innerText.toLowerCase().includes('pip lanternby')).length";
    for _ in 0..400 {
        if hands.window.client.execute(tables, vec![]).await.unwrap() == 2 {
            return;
        }
        tokio::time::sleep(std::time::Duration::from_millis(50)).await;
    }
    panic!("the tables never have the new helper:\n{}", hands.window.text().await);
}

async fn printed(hands: &mut Hands<'_>, file: &str) {
    hands.enter("#nav-rack").await;
    hands.enter("#rod-R-2 h2 a").await;
    hands.window.find("main[data-view='rod']").await;
    hands.enter("a[href='#/print/R-2']").await;
    hands.window.find("#preview svg text").await;
    hands.tab_to("#preview").await;
    hands.press(Key::Right).await;
    hands.window.says("Page 2 of").await;
    hands.tab_to("#save-path").await;
    hands.chord(&[Key::Control], 'a').await;
    hands.write(file).await;
    hands.enter("#save").await;
    hands.window.says("Saved as").await;
}
