//! The pieces of the paper in the PDF (ISO 32000-1, 14.7 and 14.8): which marked content of which page
//! belongs to which heading, paragraph, table or drawing, in the order in which they are read.

use std::collections::HashMap;

use lopdf::{Dictionary, Document, Object, ObjectId, dictionary};

use crate::{
    element::{Element, Role},
    file::Packed,
    pdf::text,
};

/// Collects the pieces while the pages are laid down.
#[derive(Default)]
pub(crate) struct Structure {
    pieces: Vec<Piece>,
    /// Where in `pieces` an element stands.
    known: HashMap<usize, usize>,
    /// Of each page, the piece that each of its marked contents belongs to.
    pages: Vec<Vec<usize>>,
}

struct Piece {
    element: Element,
    within: Option<usize>,
    /// Page and number of each marked content.
    content: Vec<(usize, i32)>,
}

impl Structure {
    pub(crate) fn begin_page(&mut self) {
        self.pages.push(Vec::new());
    }

    /// The number of the next marked content of this page, which belongs to the element.
    pub(crate) fn content(&mut self, element: &Element) -> i32 {
        let piece = self.piece(element);
        let at = self.pages.len().saturating_sub(1);
        let Some(page) = self.pages.get_mut(at) else { return 0 };
        let number = i32::try_from(page.len()).unwrap_or(i32::MAX);
        page.push(piece);
        if let Some(piece) = self.pieces.get_mut(piece) {
            piece.content.push((at, number));
        }
        number
    }

    /// Where the element stands among the pieces; it is added if it is new.
    pub(crate) fn piece(&mut self, element: &Element) -> usize {
        if let Some(at) = self.known.get(&element.key()) {
            return *at;
        }
        let within = element.within().map(|whole| self.piece(whole));
        let at = self.pieces.len();
        self.pieces.push(Piece { element: element.clone(), within, content: Vec::new() });
        self.known.insert(element.key(), at);
        at
    }

    /// Adds the tree to the document. Its parts are packed: they are many, and a page is drawn without.
    pub(crate) fn add(self, document: &mut Document, packed: &mut Packed) -> lopdf::Result<()> {
        let pages: Vec<ObjectId> = document.get_pages().into_values().collect();
        let root = document.new_object_id();
        let whole = document.new_object_id();
        let ids: Vec<ObjectId> = self.pieces.iter().map(|_| document.new_object_id()).collect();
        let id_of = |at: usize| ids.get(at).copied().unwrap_or(whole);
        let mut parts: Vec<Vec<Object>> = vec![Vec::new(); ids.len()];
        let mut top = Vec::new();
        for (piece, id) in self.pieces.iter().zip(&ids) {
            let siblings = piece.within.and_then(|at| parts.get_mut(at)).unwrap_or(&mut top);
            siblings.push(Object::Reference(*id));
        }
        for ((piece, id), parts) in self.pieces.iter().zip(&ids).zip(parts) {
            let parent = piece.within.map_or(whole, id_of);
            packed.add(*id, piece.object(parent, parts, &pages));
        }
        let mut nums = Vec::new();
        for (at, (page, pieces)) in (0_i64..).zip(pages.iter().zip(&self.pages)) {
            nums.push(at.into());
            nums.push(Object::Array(
                pieces.iter().map(|piece| Object::Reference(id_of(*piece))).collect(),
            ));
            let page = document.get_object_mut(*page)?.as_dict_mut()?;
            page.set("StructParents", at);
            page.set("Tabs", "S");
        }
        let parents = document.new_object_id();
        packed.add(parents, dictionary! { "Nums" => nums });
        packed.add(whole, dictionary! { "S" => "Document", "P" => root, "K" => top });
        packed.add(
            root,
            dictionary! { "Type" => "StructTreeRoot", "K" => whole, "ParentTree" => parents },
        );
        let catalog = document.catalog_mut()?;
        catalog.set("StructTreeRoot", root);
        catalog.set("MarkInfo", dictionary! { "Marked" => true });
        Ok(())
    }
}

impl Piece {
    fn object(&self, parent: ObjectId, parts: Vec<Object>, pages: &[ObjectId]) -> Dictionary {
        let mut object = dictionary! {
            "S" => name(self.element.role()),
            "P" => parent,
        };
        let first = self.content.first().map(|(page, _)| *page);
        let mut kids: Vec<Object> = Vec::new();
        for (page, number) in &self.content {
            kids.push(match pages.get(*page) {
                // What goes on over the page says which page that is.
                Some(id) if Some(*page) != first => {
                    dictionary! { "Type" => "MCR", "Pg" => *id, "MCID" => *number }.into()
                }
                _ => (*number).into(),
            });
        }
        kids.extend(parts);
        if let Some(page) = first.and_then(|page| pages.get(page)) {
            object.set("Pg", *page);
        }
        match self.element.role() {
            Role::Figure(words) => object.set("Alt", text(words)),
            Role::Head => {
                object.set("A", dictionary! { "O" => "Table", "Scope" => "Column" });
            }
            _ => {}
        }
        match <[Object; 1]>::try_from(kids) {
            Ok([only]) => object.set("K", only),
            Err(kids) => object.set("K", kids),
        }
        object
    }
}

/// The standard structure type; also the tag of the content itself.
pub(crate) fn name(role: &Role) -> &'static str {
    match role {
        Role::Heading(1) => "H1",
        Role::Heading(2) => "H2",
        Role::Heading(_) => "H3",
        Role::Paragraph => "P",
        Role::Table => "Table",
        Role::Row => "TR",
        Role::Head => "TH",
        Role::Cell => "TD",
        Role::Figure(_) => "Figure",
    }
}
