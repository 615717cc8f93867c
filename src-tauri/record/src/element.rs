//! What a piece of the paper is to whoever has the file read aloud, or finds their way in it by its
//! headings: the logical structure of ISO 32000-1, 14.7, before any PDF is involved.

use std::rc::Rc;

/// What a piece is (the standard structure types of ISO 32000-1, 14.8.4).
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Role {
    /// A heading of this level, 1 the outermost.
    Heading(u8),
    Paragraph,
    Table,
    Row,
    /// A cell that heads a column.
    Head,
    Cell,
    /// A drawing, with the words for whoever does not see it.
    Figure(String),
}

/// One piece. Two are the same only if one is a copy of the other: two paragraphs stay two.
#[derive(Debug, Clone)]
pub(crate) struct Element(Rc<Node>);

#[derive(Debug)]
struct Node {
    role: Role,
    within: Option<Element>,
}

impl Element {
    /// A piece of its own.
    pub(crate) fn new(role: Role) -> Self {
        Self(Rc::new(Node { role, within: None }))
    }

    /// A piece of this one: a row of a table, a cell of a row.
    pub(crate) fn part(&self, role: Role) -> Self {
        Self(Rc::new(Node { role, within: Some(self.clone()) }))
    }

    pub(crate) fn role(&self) -> &Role {
        &self.0.role
    }

    /// What it is a part of; `None` for a piece of its own.
    pub(crate) fn within(&self) -> Option<&Self> {
        self.0.within.as_ref()
    }

    /// True if its lines and shapes say something, not only its words.
    pub(crate) fn is_drawing(&self) -> bool {
        matches!(self.0.role, Role::Figure(_))
    }

    /// Tells it from every other while it lives.
    pub(crate) fn key(&self) -> usize {
        Rc::as_ptr(&self.0) as usize
    }
}

impl PartialEq for Element {
    fn eq(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.0, &other.0)
    }
}
