//! Figures of the air: vapour, the course of a room, ventilation, categories, the gun's setting.

use super::fields::Fields;
use super::output::{Output, celsius, minutes, number, share, yes};
use super::{Field, Figure, Problem, may, need, one_of, row};
use coldbench_trade::air::{
    Component, Curve, FlammableCategory, Flow, Handling, HeatLimit, HeatRule, Limit, Liquid,
    MixingFactor, Release, Room, RoomAir, Vapour, fire_flow, fire_use, flammable_category,
    fraction_of_lower_limit, gun_against_autoignition, gun_against_material, handling_when_heated,
    purge_time,
};
use coldbench_trade::units::{
    Ratio, Time, VolumeRate, cubic_meter, cubic_meter_per_hour, kelvins, liter, milliliter,
    percent, second,
};
use coldbench_trade::{air_changes_per_hour, fan_flow, traverse_flow};
use serde_json::{Value, json};

const ESTIMATE: &str = "An estimate is no gas detector: near the liquid and near the floor \
    the air is richer than the mean of the \
     room, and it can burn there. No heat and no spark where vapour may lie; the safety data sheet and local codes come first.";
const HEALTH: &str = "Vapour can harm long before it can burn. The exposure limits of the \
    safety data sheet lie far below the flammable limit.";
const GUN: &str = "The element of a hot-air gun is hotter than its setting, and it burns \
    skin. This sum does not replace clearing the \
     air and the bench of what burns; the data sheets come first.";

const COMPONENT: &[Field] = &[
    may("components[].name", "a component that evaporates", "\"demo alcohol\""),
    need("components[].share", "its share of the mass; of a range, the higher end", "\"70 %\""),
    need("components[].molar-mass", "its molar mass; of a range, the lower end", "\"60.1 g/mol\""),
    may(
        "components[].lower-limit",
        "its lower flammable limit; none where a source says it does not burn",
        "\"2 vol %\"",
    ),
];
const DENSITY: Field =
    need("density", "density of the liquid; of a range, the higher end", "\"0.79 g/mL\"");
const MIXING: Field =
    need("mixing", "mixing factor that divides the flow, 1 (perfect) to 10", "\"5\"");
const ROOM: Field = need("room", "volume of air in the room", "\"50 m3\"");
const TEMPERATURE: Field = need("temperature", "temperature of the room", "\"21 °C\"");

pub const FIGURES: &[Figure] = &[
    Figure {
        name: "vapour",
        about: "vapour from an amount of liquid, and what it is of the lower flammable limit",
        fields: &[
            ("", &[DENSITY]),
            ("", COMPONENT),
            (
                "",
                &[
                    need("used", "liquid that evaporates", "\"15 mL\""),
                    TEMPERATURE,
                    may("room", "volume of air it spreads in evenly", "\"50 m3\""),
                ],
            ),
        ],
        example: r#"{"density": "0.79 g/mL", "components": [{"name": "demo alcohol", "share": "100 %",
            "molar-mass": "60.1 g/mol", "lower-limit": "2 vol %"}], "used": "15 
                mL", "temperature": "20 °C", "room": "50 m3"}"#,
        source: "Ideal gas, V = m R T / (M p) at 1 atm; shares of the limit by Le \
            Chatelier's rule.",
        cautions: &[ESTIMATE, HEALTH],
        work: vapour,
    },
    Figure {
        name: "room-air",
        about: "fraction of the lower flammable limit in a room, and when it falls",
        fields: &[
            ("", &[ROOM, MIXING, TEMPERATURE]),
            (
                "products[].",
                &[need("name", "what the product is called", "\"demo wipe\""), DENSITY],
            ),
            ("products[].", COMPONENT),
            (
                "",
                &[
                    need("releases[].product", "which product evaporated", "\"demo wipe\""),
                    need("releases[].used", "how much of it", "\"20 mL\""),
                    need("releases[].at", "when, from any zero", "\"10 min\""),
                    may(
                        "releases[].until",
                        "until when, evenly; all at once if not said",
                        "\"25 min\"",
                    ),
                    row("flows[].flow", "fresh air", "\"200 m3/h\""),
                    row("flows[].from", "from when it moved", "\"0 min\""),
                    may("flows[].until", "until when; to the end if not said", "\"60 min\""),
                    need(
                        "now",
                        "the time for which the answer counts, from the same zero",
                        "\"30 min\"",
                    ),
                    need(
                        "limit",
                        "fraction of the lower flammable limit it is to fall to",
                        "\"1 %\"",
                    ),
                ],
            ),
        ],
        example: r#"{"room": "50 m3", "mixing": "5", "temperature": "20 °C",
            "products": [{"name": "demo wipe", "density": "0.79 
                g/mL", "components": [{"name": "demo alcohol",
            "share": "100 %", "molar-mass": "60.1 g/mol", "lower-limit": "2 vol %"}]}],
            "releases": [{"product": "demo wipe", "used": "100 mL", "at": "10 min"}],
            "flows": [{"flow": "600 m3/h", "from": "0 min"}], "now": "20 min", "limit": "1 %"}"#,
        source: "One well-mixed room, V dC = G dt - (Q / K) C dt; the sum of C / LFL by Le \
            Chatelier's rule.",
        cautions: &[ESTIMATE, HEALTH],
        work: room_air,
    },
    Figure {
        name: "purge-time",
        about: "time in which a flow brings the air from one level down to another",
        fields: &[(
            "",
            &[
                ROOM,
                MIXING,
                need("flow", "fresh air", "\"600 m3/h\""),
                need("from", "level now, in % or ppm", "\"25 %\""),
                need("to", "level wanted, in the same unit", "\"1 %\""),
            ],
        )],
        example: r#"{"room": "50 m3", "mixing": "3", "flow": "600 m3/h", "from": "20 %", "to": "1 %"}"#,
        source: "t = (K V / Q) ln(C1 / C2) (MMWR 1994;43(RR-13) Table S3-1).",
        cautions: &[ESTIMATE],
        work: purge,
    },
    Figure {
        name: "airflow",
        about: "fresh air, from air speeds over an opening or from the fan's plate",
        fields: &[(
            "",
            &[
                one_of(
                    "speeds[]",
                    "air speed at a point of the opening, four points or more; or rated instead",
                    "\"0.5 m/s\"",
                ),
                may("opening", "area of the opening, with speeds", "\"0.09 m2\""),
                may(
                    "free",
                    "share of the opening that a grille leaves free; all of it if not said",
                    "\"70 %\"",
                ),
                one_of("rated", "flow on the fan's plate", "\"350 cfm\""),
                may("share", "share of it that the fan gives as built in, with rated", "\"60 %\""),
                may(
                    "lost-to-filter",
                    "what a loaded filter takes of that; nothing if not said",
                    "\"20 %\"",
                ),
                may("room", "volume of air in the room", "\"50 m3\""),
            ],
        )],
        example: r#"{"speeds": ["0.4 m/s", "0.5 m/s", "0.6 m/s", "0.5 m/s"], "opening": "0.1 m2", "free": "80 %", "room": "36 m3"}"#,
        source: "Q = A v over the free area (USAF Bioenvironmental Engineering apprentice \
            course); share and filter are the builder's judgement.",
        cautions: &[
            "A fan that moves no air leaves vapour where it is. Look for air coming in at \
                the other side, and read it again after an hour.",
        ],
        work: airflow,
    },
    Figure {
        name: "solvent-use",
        about: "liquid per hour that a flow keeps below a part of the lower flammable limit, \
            and the flow for a use",
        fields: &[
            ("", &[DENSITY]),
            ("", COMPONENT),
            (
                "",
                &[
                    TEMPERATURE,
                    MIXING,
                    need(
                        "safety-factor",
                        "part of the limit it is kept at: 4 is a quarter, 10 a tenth; 4 or more",
                        "\"10\"",
                    ),
                    one_of("flow", "fresh air; or used instead", "\"600 m3/h\""),
                    one_of("used", "liquid that evaporates in an hour", "\"20 mL\""),
                ],
            ),
        ],
        example: r#"{"density": "0.79 g/mL", "components": [{"name": "demo alcohol", "share": "100 %",
            "molar-mass": "60.1 g/mol", "lower-limit": "2 vol %"}], "temperature": "20 
                °C", "mixing": "5",
            "safety-factor": "10", "flow": "600 m3/h"}"#,
        source: "Q = K Sf / B sum(G / LFL) (ACGIH, Industrial Ventilation, with a mixing factor).",
        cautions: &[ESTIMATE, HEALTH],
        work: solvent_use,
    },
    Figure {
        name: "flammable-category",
        about: "category of a flammable liquid, and how it is to be handled when warm",
        fields: &[(
            "",
            &[
                need("flash", "flash point, closed cup, from the safety data sheet", "\"12 °C\""),
                may(
                    "boiling",
                    "initial boiling point; the stricter category is taken without",
                    "\"82 °C\"",
                ),
                may("warmest", "how warm it, the room, or a part it lies on gets", "\"40 °C\""),
            ],
        )],
        example: r#"{"flash": "12 °C", "boiling": "82 °C", "warmest": "30 °C"}"#,
        source: "GHS chapter 2.6 and Regulation (EC) No 1272/2008 Annex I Table 2.6.1; \
            handling by 29 CFR 1910.106(a)(19).",
        cautions: &["A label that names a stricter category goes before this figure."],
        work: category,
    },
    Figure {
        name: "gun-limit",
        about: "highest setting of a hot-air gun by autoignition and by what the materials bear",
        fields: &[(
            "",
            &[
                need("set", "setting of the gun", "\"150 °C\""),
                need(
                    "autoignition",
                    "lowest autoignition temperature of what may be present",
                    "\"232 °C\"",
                ),
                row("materials[].name", "what the air of the gun meets", "\"demo sleeve\""),
                row("materials[].bears", "temperature it bears, from its maker", "\"135 °C\""),
            ],
        )],
        example: r#"{"set": "120 °C", "autoignition": "232 °C", "materials": [{"name": "demo sleeve", "bears": "135 °C"}]}"#,
        source: "The stricter of 80 % of the autoignition temperature in °C and 37.8 °C \
            below it (29 CFR 1910.125); for a material, its maker's figure.",
        cautions: &[GUN],
        work: gun_limit,
    },
];

fn component(row: &Fields<'_>) -> Result<Component, Problem> {
    let name = row.optional("name", Fields::text)?.unwrap_or("the vapour");
    let lower_limit = row.optional("lower-limit", Fields::limit)?.unwrap_or(Limit::Unknown);
    let vapour = Vapour {
        name: name.to_owned(),
        molar_mass: row.molar_mass("molar-mass")?,
        lower_limit,
        eight_hours: Limit::Unknown,
        fifteen_minutes: Limit::Unknown,
        ceiling: Limit::Unknown,
    };
    Ok(Component { share: row.percent("share")?, vapour })
}

fn liquid(fields: &Fields<'_>) -> Result<Liquid, Problem> {
    let density = fields.density("density")?;
    let rows = fields.list("components")?;
    let components = rows.iter().map(component).collect::<Result<Vec<_>, _>>()?;
    Ok(Liquid::new(density, components)?)
}

fn mixing(fields: &Fields<'_>) -> Result<MixingFactor, Problem> {
    Ok(MixingFactor::dividing_the_flow(fields.number("mixing")?)?)
}

fn vapour(fields: &Fields<'_>) -> Result<Output, Problem> {
    let liquid = liquid(fields)?;
    let used = fields.liquid("used")?;
    let room = fields.optional("room", Fields::room)?;
    let emitted = liquid.vapours(used, fields.temperature("temperature")?)?;
    let litres = |volume: coldbench_trade::units::Volume| volume.get::<liter>();
    let whole: f64 = emitted.iter().map(|one| litres(one.volume)).sum();
    let each = emitted
        .iter()
        .map(|one| json!({ "name": one.vapour.name, "vapour": number(litres(one.volume), "L") }));
    let mut output =
        Output::default().with("vapour", number(whole, "L")).with("components", each.collect());
    if let Some(volume) = room {
        // Refuses a room of no volume.
        let volume = Room::new(volume, MixingFactor::dividing_the_flow(1.0)?)?.volume();
        let parts: Vec<_> = emitted.iter().map(|one| (one.volume / volume, &one.vapour)).collect();
        let fraction = fraction_of_lower_limit(&parts)?;
        output = output.with("fraction-of-lower-limit", share(fraction));
    }
    Ok(output)
}

/// Releases with the vapours of their products.
fn releases(fields: &Fields<'_>) -> Result<Vec<Release>, Problem> {
    let temperature = fields.temperature("temperature")?;
    let mut products: Vec<(&str, Liquid)> = Vec::new();
    for row in fields.list("products")? {
        let name = row.text("name")?;
        if products.iter().any(|(known, _)| *known == name) {
            return Err(row.problem("name", "Two products have this name. Name them apart."));
        }
        products.push((name, liquid(&row)?));
    }
    let known: Vec<(&str, usize)> =
        products.iter().enumerate().map(|(index, (name, _))| (*name, index)).collect();
    let rows = fields.list("releases")?;
    rows.iter()
        .map(|row| {
            let product = row.choice("product", &known)?;
            let used = row.liquid("used")?;
            let from = row.time("at")?.get::<second>();
            let until = row.optional("until", Fields::time)?;
            let until = until.map_or(from, |until| until.get::<second>());
            if until < from {
                return Err(row.problem("until", "This lies before its beginning."));
            }
            let liquid = products.get(product).map(|(_, liquid)| liquid);
            let vapours = liquid.map(|liquid| liquid.vapours(used, temperature)).transpose()?;
            Ok(Release { from, until, vapours: vapours.unwrap_or_default() })
        })
        .collect()
}

fn flows(fields: &Fields<'_>) -> Result<Vec<Flow>, Problem> {
    let rows = fields.list("flows")?;
    rows.iter()
        .map(|row| {
            let rate = row.air_flow("flow")?;
            let from = row.time("from")?.get::<second>();
            let until = row.optional("until", Fields::time)?;
            let until = until.map_or(f64::INFINITY, |until| until.get::<second>());
            if until <= from {
                return Err(row.problem("until", "This does not lie after its beginning."));
            }
            Ok(Flow { from, until, rate })
        })
        .collect()
}

/// As a share of the lower flammable limit.
fn of_limit(value: f64) -> Value {
    number(value * 100.0, "%")
}

fn room_air(fields: &Fields<'_>) -> Result<Output, Problem> {
    let room = Room::new(fields.room("room")?, mixing(fields)?)?;
    let releases = releases(fields)?;
    let flows = fields.optional("flows", |fields, _| flows(fields))?.unwrap_or_default();
    let now = fields.time("now")?.get::<second>();
    let limit = fields.percent("limit")?.get::<percent>() / 100.0;
    let curve: Curve = RoomAir::new(room, flows, releases)?.fraction_of_lower_limit()?;
    let value = curve.value(now)?;
    // From just before the zero, so that a release at it counts.
    let highest = curve.highest(-1.0, now)?;
    let settles = curve.settles_at(limit, now)?;
    let never = settles.is_none().then_some(
        "With the flows and releases given it never falls to the limit. Give more fresh air, \
            or a limit above zero.",
    );
    let at = settles.map_or(json!("never"), |at| minutes(Time::new::<second>(at)));
    let wait = settles.map(|at| minutes(Time::new::<second>(at - now)));
    Ok(Output::default()
        .with("fraction-now", of_limit(value))
        .with("highest-so-far", of_limit(highest))
        .with("at-or-below-the-limit-from", at)
        .with_some("wait", wait)
        .telling(never))
}

fn purge(fields: &Fields<'_>) -> Result<Output, Problem> {
    let room = Room::new(fields.room("room")?, mixing(fields)?)?;
    let flow = fields.air_flow("flow")?;
    let time = purge_time(&room, flow, fields.level("from")?, fields.level("to")?)?;
    let changes = air_changes_per_hour(flow, room.volume());
    Ok(Output::default()
        .with("purge-time", minutes(time))
        .with("air-changes", number(changes, "1/h")))
}

fn airflow(fields: &Fields<'_>) -> Result<Output, Problem> {
    let whole = Ratio::new::<percent>(100.0);
    let by_speeds = fields.either("speeds", "rated")?;
    let foreign: &[&str] =
        if by_speeds { &["share", "lost-to-filter"] } else { &["opening", "free"] };
    if let Some(&name) = foreign.iter().find(|name| fields.has(name)) {
        let with = if by_speeds { "rated" } else { "speeds" };
        return Err(fields.problem(name, format!("This belongs to {with}. Leave it out.")));
    }
    let flow: VolumeRate = if by_speeds {
        let free = fields.optional("free", Fields::percent)?.unwrap_or(whole);
        let opening = fields.area("opening")?;
        traverse_flow(&fields.speeds("speeds")?, opening, free)?
    } else {
        let lost = fields.optional("lost-to-filter", Fields::percent)?;
        let lost = lost.unwrap_or(Ratio::new::<percent>(0.0));
        fan_flow(fields.air_flow("rated")?, fields.percent("share")?, lost)?
    };
    let plate = (!by_speeds).then_some(
        "A plate says what the fan gives in free air. Read the air speed at its opening \
            where you can.",
    );
    let output = Output::default()
        .with("flow", number(flow.get::<cubic_meter_per_hour>(), "m³/h"))
        .telling(plate);
    let Some(room) = fields.optional("room", Fields::room)? else { return Ok(output) };
    let room = Room::new(room, MixingFactor::dividing_the_flow(1.0)?)?;
    let changes = air_changes_per_hour(flow, room.volume());
    Ok(output.with("air-changes", number(changes, "1/h")))
}

fn solvent_use(fields: &Fields<'_>) -> Result<Output, Problem> {
    let (liquid, mixing) = (liquid(fields)?, mixing(fields)?);
    let temperature = fields.temperature("temperature")?;
    let factor = fields.number("safety-factor")?;
    if fields.either("flow", "used")? {
        let used = fire_use(&liquid, fields.air_flow("flow")?, temperature, mixing, factor)?;
        let hour = used * Time::new::<coldbench_trade::units::hour>(1.0);
        return Ok(Output::default().with("used-per-hour", number(hour.get::<milliliter>(), "mL")));
    }
    let used = fields.liquid("used")?.get::<cubic_meter>();
    let used = VolumeRate::new::<cubic_meter_per_hour>(used);
    let flow = fire_flow(&liquid, used, temperature, mixing, factor)?;
    Ok(Output::default().with("flow", number(flow.get::<cubic_meter_per_hour>(), "m³/h")))
}

fn category(fields: &Fields<'_>) -> Result<Output, Problem> {
    let flash = fields.temperature("flash")?;
    let boiling = fields.optional("boiling", Fields::temperature)?;
    let warmest = fields.optional("warmest", Fields::temperature)?;
    let found = flammable_category(flash, boiling)?;
    let number = |category| match category {
        FlammableCategory::One => "1",
        FlammableCategory::Two => "2",
        FlammableCategory::Three => "3",
        FlammableCategory::Four => "4",
    };
    let none = found.is_none().then_some(
        "A flash point above 93 °C is in no category, and the liquid may burn all the same \
            when heated.",
    );
    let code = found.map(|category| json!(category.h_code()));
    let mut output = Output::default()
        .with("category", json!(found.map_or("none", number)))
        .with_some("hazard-statement", code)
        .telling(none);
    if let Some(warmest) = warmest {
        let handled =
            handling_when_heated(flash, boiling, warmest)?.map_or(
                "none",
                |handling| match handling {
                    Handling::Category1 => "as category 1",
                    Handling::Category2 => "as category 2",
                    Handling::Category3Below100F => "as category 3, flash point below 37.8 °C",
                    Handling::Category3From100F => "as category 3, flash point from 37.8 °C",
                    Handling::Category4 => "as category 4",
                },
            );
        output = output.with("handled-when-so-warm", json!(handled));
    }
    Ok(output)
}

fn gun_limit(fields: &Fields<'_>) -> Result<Output, Problem> {
    let set = fields.temperature("set")?;
    let autoignition = fields.temperature("autoignition")?;
    let mut limits =
        vec![("the vapour".to_owned(), gun_against_autoignition(set, Some(autoignition))?)];
    for row in fields.optional("materials", Fields::list)?.unwrap_or_default() {
        let name = row.text("name")?.to_owned();
        limits.push((name, gun_against_material(set, Some(row.temperature("bears")?))?));
    }
    let strictest =
        limits.iter().min_by(|(_, a), (_, b)| a.margin.value.total_cmp(&b.margin.value));
    let Some((_, limit)) = strictest else { return Ok(Output::default()) };
    let above = limits.iter().filter(|(_, limit)| !limit.holds()).map(|(name, limit)| {
        let highest = limit.highest.get::<coldbench_trade::units::degree_celsius>();
        // Rounded down, so that the sentence allows no more than the figure.
        let highest = (highest * 10.0).floor() / 10.0;
        format!("The setting is too hot for {name}: at most {highest} °C. Set the gun lower.")
    });
    let each = limits.iter().map(|(name, limit)| {
        json!({ "name": name, "highest": celsius(limit.highest), "rule": rule(limit) })
    });
    Ok(Output::default()
        .with("highest-setting", celsius(limit.highest))
        .with("margin", number(limit.margin.get::<kelvins>(), "K"))
        .with("rule", json!(rule(limit)))
        .with("setting-is-within", yes(limit.holds()))
        .with("limits", each.collect())
        .telling(above.collect::<Vec<_>>()))
}

fn rule(limit: &HeatLimit) -> &'static str {
    match limit.rule {
        HeatRule::ShareOfAutoignition => "80 % of the autoignition temperature in °C",
        HeatRule::BelowAutoignition => "37.8 °C below the autoignition temperature",
        HeatRule::Material => "what the material bears",
    }
}
