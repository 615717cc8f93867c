//! Files inside the PDF, as associated files (ISO 19005-3, ISO 32000-2): each is embedded,
//! listed by name, and tied to the document as a whole.

use std::collections::BTreeSet;

use lopdf::{Dictionary, Document, Object, Stream, dictionary};

use crate::{
    error::RecordError,
    model::{Attachment, Relation, When},
    pdf::{pdf_date, text},
};

/// Refuses names that are no file names, and one name for two files.
pub(crate) fn check(attached: &[Attachment]) -> Result<(), RecordError> {
    let mut names = BTreeSet::new();
    for Attachment { name, .. } in attached {
        let reason = if name.trim().is_empty() {
            "is empty"
        } else if name.contains(['/', '\\']) || name.chars().any(char::is_control) {
            "holds a slash, a backslash or a control character"
        } else if !names.insert(name) {
            "was given to two files"
        } else {
            continue;
        };
        return Err(RecordError::Attachment { name: name.clone(), reason });
    }
    Ok(())
}

/// Embeds the files and lists them in the catalog. Without files the document stays as it is.
pub(crate) fn embed(
    document: &mut Document,
    attached: &[Attachment],
    when: When,
) -> lopdf::Result<()> {
    if attached.is_empty() {
        return Ok(());
    }
    let mut associated = Vec::new();
    let mut listed = Vec::new();
    for attachment in attached {
        let specification = document_file(document, attachment, when);
        let specification = document.add_object(specification);
        associated.push(Object::Reference(specification));
        listed.push((text(&attachment.name), specification));
    }
    // A reader may search the list by halves, in the order of the bytes of its keys.
    listed.sort_by_cached_key(|(key, _)| key.as_str().unwrap_or_default().to_vec());
    let names: Vec<Object> =
        listed.into_iter().flat_map(|(key, file)| [key, Object::Reference(file)]).collect();
    let tree = document.add_object(dictionary! { "Names" => names });
    let catalog = document.catalog_mut()?;
    catalog.set("Names", dictionary! { "EmbeddedFiles" => tree });
    catalog.set("AF", associated);
    Ok(())
}

/// The file specification of one attachment, its content added to the document.
fn document_file(document: &mut Document, attachment: &Attachment, when: When) -> Dictionary {
    let size = i64::try_from(attachment.bytes.len()).unwrap_or(i64::MAX);
    let parameters = dictionary! {
        "Size" => size,
        "ModDate" => Object::string_literal(pdf_date(when)),
    };
    let entries = dictionary! {
        "Type" => "EmbeddedFile",
        "Subtype" => Object::Name(attachment.mime.clone().into_bytes()),
        "Params" => parameters,
    };
    let file = document.add_object(Stream::new(entries, attachment.bytes.clone()));
    let relation = match attachment.relation {
        Relation::Source => "Source",
        Relation::Supplement => "Supplement",
    };
    // The older of the two names is for readers that know no Unicode.
    let plain = attachment.name.replace(|c: char| !c.is_ascii(), "_");
    dictionary! {
        "Type" => "Filespec",
        "F" => Object::string_literal(plain),
        "UF" => text(&attachment.name),
        "Desc" => text(&attachment.words),
        "AFRelationship" => relation,
        "EF" => dictionary! { "F" => file, "UF" => file },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::specimen;

    #[test]
    fn names_that_are_none_are_refused() {
        let attachment =
            |name: &str| Attachment { name: name.to_owned(), ..specimen::attached()[0].clone() };
        assert_eq!(check(&[attachment("ledger.jsonl"), attachment("keys.txt")]), Ok(()));
        for (names, wrong) in [
            (vec![" "], " "),
            (vec!["a/b"], "a/b"),
            (vec!["..\\b"], "..\\b"),
            (vec!["a\nb"], "a\nb"),
            (vec!["a", "b", "a"], "a"),
        ] {
            let attached: Vec<Attachment> = names.into_iter().map(attachment).collect();
            let error = check(&attached).unwrap_err();
            assert!(matches!(&error, RecordError::Attachment { name, .. } if name == wrong));
            assert!(error.to_string().contains(&format!("{wrong:?}")), "{error}");
        }
    }
}
