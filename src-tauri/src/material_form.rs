//! Writing down a product from the safety data sheet in the hand: a form becomes a material file.
//!
//! The file is then one like any other: a person may edit it, and the same reader judges it.

use crate::error::ShellError;
use crate::folder::{CHECKLISTS, write_whole};
use crate::show;
use crate::views::{ComponentDraft, MaterialDraft, Problem};
use crate::workshop::Workshop;
use coldbench_shop::checklist::{Severity, read};
use coldbench_shop::{FileFindings, hazard};
use serde::Serialize;

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct File<'a> {
    format: u32,
    kind: &'static str,
    id: String,
    title: &'a str,
    revised: String,
    sheet: &'a str,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    hazards: Vec<&'a str>,
    #[serde(skip_serializing_if = "str::is_empty")]
    caution: &'a str,
    #[serde(skip_serializing_if = "str::is_empty")]
    density: &'a str,
    #[serde(skip_serializing_if = "str::is_empty")]
    flash: &'a str,
    #[serde(skip_serializing_if = "str::is_empty")]
    boils: &'a str,
    #[serde(skip_serializing_if = "str::is_empty")]
    autoignition: &'a str,
    #[serde(skip_serializing_if = "str::is_empty")]
    lower_limit: &'a str,
    source: &'a str,
    #[serde(rename = "use", skip_serializing_if = "Vec::is_empty")]
    uses: Vec<Use<'a>>,
    component: Vec<Component<'a>>,
}

#[derive(Serialize)]
struct Use<'a> {
    name: &'a str,
    amount: &'a str,
}

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct Component<'a> {
    name: &'a str,
    #[serde(skip_serializing_if = "str::is_empty")]
    cas: &'a str,
    share: &'a str,
    volatile: bool,
    #[serde(skip_serializing_if = "str::is_empty")]
    molar_mass: &'a str,
    #[serde(skip_serializing_if = "str::is_empty")]
    lower_limit: &'a str,
    #[serde(skip_serializing_if = "str::is_empty")]
    day_limit: &'a str,
    #[serde(skip_serializing_if = "str::is_empty")]
    short_limit: &'a str,
    #[serde(skip_serializing_if = "str::is_empty")]
    ceiling: &'a str,
}

/// Writes the file of a material, if its reader takes it; gives what the reader has to say. With an
/// error among that, nothing was written.
pub fn save(workshop: &mut Workshop, draft: &MaterialDraft) -> Result<Vec<Problem>, ShellError> {
    if let Some(reason) = workshop.read_only() {
        return Err(ShellError::ReadOnly { reason: reason.to_owned() });
    }
    let id = slug(&draft.title);
    let field = |name: &str, message: &str| ShellError::Field {
        field: name.to_owned(),
        message: message.to_owned(),
    };
    if id.is_empty() {
        return Err(field("title", "Write what it is called, with letters or digits in it."));
    }
    workshop.reload_library();
    let path = workshop.folder().join(CHECKLISTS).join("materials").join(format!("{id}.toml"));
    if workshop.library().material(&id).is_some() || path.exists() {
        return Err(field(
            "title",
            "There is a material of this name. Choose another name, or edit its file.",
        ));
    }
    let text = written(draft, &id, &workshop.now().format("%Y-%m-%d").to_string())
        .map_err(|error| field("title", &error.to_string()))?;
    let found = read(&text);
    let refused = found.findings.iter().any(|finding| finding.severity == Severity::Error);
    if !refused {
        if let Some(parent) = path.parent() {
            std::fs::create_dir_all(parent).map_err(ShellError::file(parent))?;
        }
        write_whole(&path, text.as_bytes())?;
        workshop.reload_library();
    }
    let file = FileFindings {
        path: format!("materials/{id}.toml"),
        source: text,
        findings: found.findings,
    };
    Ok(show::problems(&file).collect())
}

fn written(draft: &MaterialDraft, id: &str, day: &str) -> Result<String, toml::ser::Error> {
    let file = File {
        format: 1,
        kind: "material",
        id: id.to_owned(),
        title: draft.title.trim(),
        revised: day.to_owned(),
        sheet: draft.sheet.trim(),
        hazards: draft
            .hazards
            .iter()
            .map(|code| code.trim())
            .filter(|code| !code.is_empty())
            .collect(),
        caution: draft.caution.trim(),
        density: draft.density.trim(),
        flash: draft.flash.trim(),
        boils: draft.boils.trim(),
        autoignition: draft.autoignition.trim(),
        lower_limit: draft.lower_limit.trim(),
        source: draft.sheet.trim(),
        uses: if draft.amount.trim().is_empty() {
            Vec::new()
        } else {
            vec![Use { name: draft.purpose.trim(), amount: draft.amount.trim() }]
        },
        component: draft.components.iter().map(component).collect(),
    };
    let head = "# Material, written down from the safety data sheet named below. You may edit this file; only what is\n# recorded later is affected. The product's own sheet comes first; what is unknown means no heat.\n";
    Ok(format!("{head}{}", toml::to_string(&file)?))
}

fn component(draft: &ComponentDraft) -> Component<'_> {
    Component {
        name: draft.name.trim(),
        cas: draft.cas.trim(),
        share: draft.share.trim(),
        volatile: draft.volatile,
        molar_mass: draft.molar_mass.trim(),
        lower_limit: draft.lower_limit.trim(),
        day_limit: draft.day_limit.trim(),
        short_limit: draft.short_limit.trim(),
        ceiling: draft.ceiling.trim(),
    }
}

/// An id as checklist files take it: small letters, digits, hyphens.
fn slug(title: &str) -> String {
    let mut slug = String::new();
    for c in title.chars().flat_map(char::to_lowercase) {
        if c.is_ascii_alphanumeric() {
            slug.push(c);
        } else if !slug.is_empty() && !slug.ends_with('-') {
            slug.push('-');
        }
    }
    slug.truncate(60);
    slug.trim_end_matches('-').to_owned()
}

/// The hazard codes that can be named, with their words.
pub fn hazards() -> Vec<(String, String)> {
    hazard::HAZARDS.iter().map(|(code, words)| ((*code).to_owned(), (*words).to_owned())).collect()
}
