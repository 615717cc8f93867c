//! A rod: its sheet, its bend, its lots.
#![expect(clippy::needless_pass_by_value, reason = "Tauri hands commands owned values")]

use super::{Answered, Open, refused, told};
use crate::views::{
    ChangeDraft, DraftView, LayoutDraft, LayoutView, LotLine, RodDraft, RodView, SpacingDraft,
    TrimView,
};
use crate::{draft, show};
use coldbench_shop::{Command, Event, LotId, RodId};
use tauri::State;

/// What is wrong with a draft of a rod, and how it looks.
#[tauri::command(async)]
pub fn check_draft(open: State<'_, Open>, draft: RodDraft) -> DraftView {
    draft::check(&open.get(), &draft)
}

/// Begins a rod and says its id.
#[tauri::command(async)]
pub fn begin_rod(open: State<'_, Open>, draft: RodDraft) -> Answered<String> {
    let mut workshop = open.get();
    let plan = draft::plan(&workshop, &draft).map_err(told)?;
    let events = workshop.act(Command::BeginRod(Box::new(plan))).map_err(told)?;
    Ok(events
        .iter()
        .find_map(|event| match event {
            Event::RodBegun { rod, .. } => Some(rod.to_string()),
            _ => None,
        })
        .unwrap_or_default())
}

/// Adds to what is written down of a rod, or, with the PIN, puts it right.
#[tauri::command(async)]
pub fn revise_rod(
    open: State<'_, Open>,
    rod: String,
    change: ChangeDraft,
    reason: String,
    sure: bool,
    pin: Option<String>,
) -> Answered<()> {
    let (rod, change) = (RodId::new(rod), change.into());
    open.act_with(pin, Command::ReviseRod { rod, change, reason, sure })
}

/// How a rod bends and where its guides stand, as kept; else a beginning.
#[tauri::command(async)]
pub fn layout(open: State<'_, Open>, rod: String) -> Answered<LayoutView> {
    show::layout(&open.get(), &RodId::new(rod)).map_err(refused)
}

/// A layout as it is being made, worked out.
#[tauri::command(async)]
pub fn try_layout(open: State<'_, Open>, rod: String, draft: LayoutDraft) -> Answered<LayoutView> {
    show::try_layout(&open.get(), &RodId::new(rod), draft).map_err(refused)
}

/// A layout with its guides spaced anew.
#[tauri::command(async)]
pub fn space_guides(
    open: State<'_, Open>,
    rod: String,
    draft: LayoutDraft,
    spacing: SpacingDraft,
) -> Answered<LayoutView> {
    show::space_guides(&open.get(), &RodId::new(rod), draft, spacing).map_err(refused)
}

/// A layout with its guides moved for the better.
#[tauri::command(async)]
pub fn improve_layout(
    open: State<'_, Open>,
    rod: String,
    draft: LayoutDraft,
) -> Answered<LayoutView> {
    show::improve_layout(&open.get(), &RodId::new(rod), draft).map_err(refused)
}

/// What cutting the blank would do.
#[tauri::command(async)]
pub fn try_trim(
    open: State<'_, Open>,
    rod: String,
    draft: LayoutDraft,
    tip: String,
    butt: String,
) -> Answered<TrimView> {
    show::try_trim(&open.get(), &RodId::new(rod), draft, &tip, &butt).map_err(refused)
}

/// A rod with everything on its sheet.
#[tauri::command(async)]
pub fn rod(open: State<'_, Open>, rod: String) -> Answered<RodView> {
    show::rod(&open.get(), &RodId::new(rod)).map_err(refused)
}

/// All lots with their rods.
#[tauri::command(async)]
pub fn lots(open: State<'_, Open>) -> Vec<LotLine> {
    show::lots(&open.get())
}

/// Registers a lot.
#[tauri::command(async)]
pub fn register_lot(
    open: State<'_, Open>,
    what: String,
    marking: String,
    expires: String,
) -> Answered<()> {
    open.act(Command::RegisterLot { what, marking, expires })
}

/// Says that a lot is used up.
#[tauri::command(async)]
pub fn lot_gone(open: State<'_, Open>, lot: String) -> Answered<()> {
    open.act(Command::LotGone { lot: LotId::new(lot) })
}
