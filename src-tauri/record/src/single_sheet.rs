//! Any of the single sheets, as a PDF or as pictures for a screen.

use crate::{
    bench_sheet, clearance_page, crew_table,
    error::RecordError,
    finish,
    flow::Page,
    fonts::Fonts,
    hand_list,
    pages_model::{
        BenchSheet, ClearancePage, CrewTable, HandList, Imprint, RodPage, TrainingRecord,
    },
    rod_page,
    sheet::Sheet,
    single::{self, Named},
    training,
};

/// What is printed for itself: all but the logs, which carry their record inside.
///
/// The same data give the same bytes. Text is wrapped, never cut off, except in the foot of the
/// pages, where long names end in an ellipsis.
#[derive(Debug, Clone, PartialEq)]
#[expect(clippy::large_enum_variant, reason = "one is made, printed and dropped; never many")]
pub enum SingleSheet {
    /// What one person did and witnessed.
    Training(TrainingRecord),
    /// Who does which stage alone.
    CrewTable(CrewTable),
    /// The sheet of a rod without its steps.
    Rod(RodPage),
    /// One stage of a rod in large type: what is to be done stands in 20 points or more, cautions
    /// in 16 or more. A step is cut only if it is higher than a page.
    Bench(BenchSheet),
    /// A checklist to be filled in by hand.
    ByHand(HandList),
    /// One clearance for heat.
    Clearance(ClearancePage),
}

impl SingleSheet {
    /// What the document is called.
    pub fn title(&self) -> String {
        finish::one_line(&self.named().title)
    }

    /// The bytes of the PDF.
    ///
    /// # Errors
    /// [`RecordError::Digest`] if the ledger's digest is not 64 hexadecimal digits;
    /// [`RecordError::Font`] or [`RecordError::Write`] if the program itself is damaged.
    pub fn pdf(&self) -> Result<Vec<u8>, RecordError> {
        single::check(self.imprint())?;
        let fonts = Fonts::load()?;
        let pages = self.lay_out(&fonts);
        single::write(&fonts, &pages, self.imprint(), &self.named(), &format!("{self:?}"))
    }

    /// The pages of that PDF, each as an SVG picture.
    ///
    /// # Errors
    /// As of [`SingleSheet::pdf`].
    pub fn preview(&self) -> Result<Vec<String>, RecordError> {
        single::check(self.imprint())?;
        let fonts = Fonts::load()?;
        let (imprint, named) = (self.imprint(), self.named());
        let foot = single::foot(imprint, &named);
        let sheet = Sheet::of(imprint.paper);
        Ok(finish::preview(&fonts, sheet, &self.lay_out(&fonts), &foot))
    }

    fn imprint(&self) -> &Imprint {
        match self {
            Self::Training(sheet) => &sheet.imprint,
            Self::CrewTable(sheet) => &sheet.imprint,
            Self::Rod(sheet) => &sheet.imprint,
            Self::Bench(sheet) => &sheet.imprint,
            Self::ByHand(sheet) => &sheet.imprint,
            Self::Clearance(sheet) => &sheet.imprint,
        }
    }

    fn named(&self) -> Named {
        match self {
            Self::Training(sheet) => training::named(sheet),
            Self::CrewTable(sheet) => crew_table::named(sheet),
            Self::Rod(sheet) => rod_page::named(sheet),
            Self::Bench(sheet) => bench_sheet::named(sheet),
            Self::ByHand(sheet) => hand_list::named(sheet),
            Self::Clearance(sheet) => clearance_page::named(sheet),
        }
    }

    fn lay_out(&self, fonts: &Fonts) -> Vec<Page> {
        match self {
            Self::Training(sheet) => training::lay_out(fonts, sheet),
            Self::CrewTable(sheet) => crew_table::lay_out(fonts, sheet),
            Self::Rod(sheet) => rod_page::lay_out(fonts, sheet),
            Self::Bench(sheet) => bench_sheet::lay_out(fonts, sheet),
            Self::ByHand(sheet) => hand_list::lay_out(fonts, sheet),
            Self::Clearance(sheet) => clearance_page::lay_out(fonts, sheet),
        }
    }
}
