//! The blank itself: its spine, what a cut does, the layout, the test under load.

use super::*;
use crate::layout::{GuidePlan, LayoutPlan};

#[test]
fn the_spine_follows_from_any_number_of_trials_at_both_ends() {
    let mut shop = Shop::with_rod(plan());
    assert!(shop.at("butt", "spine").missing.unwrap().contains("No trial"));
    shop.measured("butt", [112.0, 118.0]);
    assert!(told(&shop.at("butt", "spine")).contains("Too few trials"));
    // One of three lies far off: it is named, and nothing is claimed.
    shop.measured("butt", [112.0, 201.0, 115.0]);
    let stray = told(&shop.at("butt", "spine"));
    assert!(!stray.contains("The spine lies"), "{stray}");
    // Done again, the stray one is left out, with a word.
    shop.measured("butt", [112.0, 201.0, 115.0, 118.0]);
    let found = told(&shop.at("butt", "spine"));
    assert!(found.contains("The spine lies at 115°"), "{found}");
    assert!(found.contains("Trial 2 at the butt is left out"), "{found}");
    // The tip agrees, or it does not.
    shop.measured("butt", [112.0, 118.0, 115.0]);
    shop.measured("tip", [119.0, 114.0, 116.0]);
    let both = told(&shop.at("tip", "spine"));
    assert!(both.contains("3 trials at the butt and 3 at the tip"), "{both}");
    // Of a pair of opposite jumps both are written; an angle and its opposite are one axis then.
    shop.measured("butt", [112.0, 298.0, 115.0]);
    shop.written("butt", ["112° / 294°", "298° / 117°", "115°"]);
    let axis = told(&shop.at("butt", "spine"));
    assert!(axis.contains("The spine lies at 115.2° and 295.2°"), "{axis}");
    // A pair at one end makes an axis of the other too.
    shop.measured("tip", [115.0, 296.0, 114.0]);
    let axis = told(&shop.at("tip", "spine"));
    assert!(axis.contains("3 trials at the butt and 3 at the tip"), "{axis}");
    shop.measured("butt", [112.0, 118.0, 115.0]);
    shop.measured("tip", [209.0, 204.0, 206.0]);
    let twisted = told(&shop.at("tip", "spine"));
    assert!(!twisted.contains("The spine lies") && twisted.contains("twist"), "{twisted}");
}

#[test]
fn the_mark_is_the_spine_or_has_a_reason() {
    let mut shop = Shop::with_rod(plan());
    shop.measured("butt", [112.0, 118.0, 115.0]);
    shop.measured("tip", [119.0, 114.0, 116.0]);
    assert!(told(&shop.at("mark", "spine-mark")).contains("Draw the mark"));
    shop.measured("mark", [117.0]);
    let on = told(&shop.at("mark", "spine-mark"));
    assert!(on.contains("Chosen: the spine"), "{on}");
    // A spinning reel hangs below, and its guides with it.
    assert!(on.contains("The guides stand on the underside"), "{on}");
    shop.measured("mark", [30.0]);
    let off = told(&shop.at("mark", "spine-mark"));
    assert!(off.contains("add a note that says why"), "{off}");
    let at = StepPlace { step: StepId::new("mark"), ..place() };
    shop.act(Command::WriteNote { at, text: "The blank is bowed.".to_owned() }).unwrap();
    let why = told(&shop.at("mark", "spine-mark"));
    assert!(why.contains("Because: The blank is bowed."), "{why}");
    assert!(!why.contains("add a note"), "{why}");
}

#[test]
fn cuts_and_the_test_under_load_rest_on_the_layout() {
    let mut shop = Shop::with_rod(plan());
    for (step, name) in [("off", "trim-tip"), ("hang", "static-test"), ("hang", "guide-layout")] {
        let none = shop.at(step, name).missing.unwrap();
        assert!(none.contains("Bend and guides"), "{name}: {none}");
    }
    let layout = || {
        let guide = |from_tip: &str, height: &str| GuidePlan {
            from_tip: from_tip.to_owned(),
            ring: "6".to_owned(),
            height: height.to_owned(),
            ..GuidePlan::default()
        };
        LayoutPlan {
            wall: "0.8".to_owned(),
            modulus: "90".to_owned(),
            hang: "300".to_owned(),
            reel_from_butt: "250".to_owned(),
            reel_height: "40".to_owned(),
            tip_height: "6".to_owned(),
            guides: vec![guide("110", "9"), guide("300", "10"), guide("700", "20")],
            ..LayoutPlan::default()
        }
    };
    shop.revise(NewChange::Layout(Box::new(layout())), "", false).unwrap();
    // Kept with the units that were taken for granted.
    let kept = shop.state.rods[&RodId::new("R-1")].plan.layout.clone().unwrap();
    assert_eq!((kept.hang.as_str(), kept.guides[1].from_tip.as_str()), ("300 g", "300 mm"));
    let guides = told(&shop.at("hang", "guide-layout"));
    assert!(guides.contains("Guide 3, 700.0 mm from the tip"), "{guides}");
    assert!(shop.at("off", "trim-tip").missing.unwrap().contains("how much is to come off"));
    shop.measured("off", [40.0]);
    let tip = told(&shop.at("off", "trim-tip"));
    assert!(tip.contains("2100.0 mm, after the cut 2060.0 mm"), "{tip}");
    assert_ne!(tip, told(&shop.at("off", "trim-butt")));
    let figured = told(&shop.at("hang", "static-test"));
    assert!(figured.contains("Goes down by the figure") && !figured.contains("Off the curve"));
    let row = shop.at("hang", "static-test").rows.swap_remove(1);
    let drop: f64 = row.value.split(' ').next().unwrap().parse().unwrap();
    shop.measured("hang", [drop * 1.05]);
    assert!(told(&shop.at("hang", "static-test")).contains("Within tolerance: yes"));
    shop.measured("hang", [drop * 1.2]);
    let off = told(&shop.at("hang", "static-test"));
    assert!(off.contains("Within tolerance: no") && off.contains("does not bend as figured"));
    // What can't be worked out is not kept.
    let mut bad = layout();
    bad.guides[0].from_tip = "500".to_owned();
    let refused = shop.revise(NewChange::Layout(Box::new(bad)), "", false).unwrap_err();
    assert!(matches!(refused, Refusal::NoLayout { .. }), "{refused}");
    // A fact is taken down though the layout no longer fits the rod; the figure then says so.
    let much = NewChange::Cut { tip: "1.5 m".to_owned(), butt: String::new() };
    shop.revise(much, "", false).unwrap();
    assert!(shop.at("hang", "guide-layout").missing.is_some());
    let too_long = NewChange::Cut { tip: "3 m".to_owned(), butt: String::new() };
    assert!(matches!(shop.revise(too_long, "", false), Err(Refusal::CutTooLong { .. })));
    let nothing = NewChange::Cut { tip: String::new(), butt: " ".to_owned() };
    assert_eq!(shop.revise(nothing, "", false), Err(Refusal::NothingCut));
}
