// The only hand-written file that talks to the shell: one typed function per command.
// Every rule lives behind these commands; a refusal comes back as a `Trouble`.

import { invoke } from '@tauri-apps/api/core';
import type {
  AnswerDraft,
  BackupsView,
  BenchSettings,
  BenchView,
  CauseWord,
  ChangeDraft,
  ChecklistsView,
  ChecklistText,
  CrewTableView,
  Desk,
  DraftView,
  EntryPlace,
  Founding,
  JobView,
  LayoutDraft,
  LayoutView,
  LotLine,
  MaterialDraft,
  PaperDraft,
  PaperWord,
  Place,
  PreviewView,
  PrintedView,
  Printable,
  PrintView,
  Problem,
  RodDraft,
  RodView,
  SheetDraft,
  TableWord,
  RoleWord,
  SpacingDraft,
  StationView,
  TrimView,
  Trouble,
  UnitsChoice,
  WalkView,
  WayBackView,
} from './generated/types';

/** What carries a command to the shell and its answer back. */
export interface Backend {
  invoke(command: string, args?: Record<string, unknown>): Promise<unknown>;
}

/** The shell itself, through the window. */
const shell: Backend = { invoke: (command, args) => invoke(command, args) };

let backend: Backend = shell;

/** Puts another carrier in the place of the shell. For trying in a browser and for tests. */
export function useBackend(other: Backend): void {
  backend = other;
}

/**
 * Whatever was thrown, as a `Trouble`. What the shell rejects with is one already; anything else
 * (the window's own errors are bare text) gets the code `shell`.
 */
export function toTrouble(thrown: unknown): Trouble {
  if (typeof thrown === 'object' && thrown !== null && 'message' in thrown) {
    const { code, message, field } = thrown as Partial<Record<keyof Trouble, unknown>>;
    return {
      code: typeof code === 'string' ? code : 'shell',
      message: String(message),
      field: typeof field === 'string' ? field : null,
    };
  }
  const words = typeof thrown === 'string' && thrown.trim() !== '' ? thrown : null;
  return {
    code: 'shell',
    message: words ?? 'The program gave no answer. Close Coldbench and start it again.',
    field: null,
  };
}

async function call<T>(command: string, args?: Record<string, unknown>): Promise<T> {
  try {
    return (await backend.invoke(command, args)) as T;
  } catch (thrown) {
    throw toTrouble(thrown);
  }
}

// The workshop.
export const look = () => call<Desk>('look');
export const found = (founding: Founding) => call<null>('found', { founding });
export const unlock = (person: string, pin: string) => call<null>('unlock', { person, pin });
export const lock = () => call<null>('lock');
export const quit = () => call<null>('quit');
/** Draws the whole page so many times as large. */
export const enlarge = (times: number) => call<null>('enlarge', { times });

// Crew and stations.
export const addPerson = (name: string, role: RoleWord, pin: string) =>
  call<null>('add_person', { name, role, pin });
export const personLeaves = (person: string) => call<null>('person_leaves', { person });
/** `by` vouches with their own PIN: a lead, or the person who wants another one. */
export const renewKey = (person: string, newPin: string, by: string, pin: string) =>
  call<null>('renew_key', { person, newPin, by, pin });
/** `sharesRoomWith`: another station whose room it stands in; its volume then holds. */
export const addStation = (name: string, room: string, sharesRoomWith: string | null) =>
  call<null>('add_station', { name, room, sharesRoomWith });

// Air: containers, lists, clearance.
export const station = (id: string) => call<StationView>('station', { station: id });
/** With the id of the material file that describes it, or null. */
export const listContainer = (
  stationId: string,
  name: string,
  autoignition: string,
  material: string | null,
) => call<null>('list_container', { station: stationId, name, autoignition, material });
/** What is wrong or unwise about it; with an unusable among that, nothing was written. */
export const saveMaterial = (draft: MaterialDraft) => call<Problem[]>('save_material', { draft });
/** Code and words of every hazard that can be named. */
export const hazardCodes = () => call<[string, string][]>('hazard_codes');
export const readAir = (stationId: string, draft: AnswerDraft) =>
  call<null>('read_air', { station: stationId, answer: draft });
export const measureRoom = (stationId: string, volume: string) =>
  call<null>('measure_room', { station: stationId, volume });
export const stopAir = (stationId: string) => call<null>('stop_air', { station: stationId });
/** Two touches: what, and how much of it (`15 mL`); 0 for "no more than is set down already". */
export const recordRelease = (
  stationId: string,
  material: string,
  amount: string,
  purpose: string,
) => call<null>('record_release', { station: stationId, material, amount, purpose });
export const signWatch = (stationId: string) => call<null>('sign_watch', { station: stationId });
export const closeStation = (stationId: string) =>
  call<null>('close_station', { station: stationId });
export const openContainer = (container: string) => call<null>('open_container', { container });
export const closeContainer = (container: string) => call<null>('close_container', { container });
export const removeContainer = (container: string) => call<null>('remove_container', { container });
/** `list`: the id of the list. */
/** With the sheet where it was filled in by hand before, else null. */
export const beginList = (stationId: string, list: string, sheet: PaperDraft | null = null) =>
  call<null>('begin_list', { station: stationId, list, sheet });
export const answer = (stationId: string, check: string, draft: AnswerDraft) =>
  call<null>('answer', { station: stationId, check, answer: draft });
/** With the PIN where the list asks for it (`asksPin`), else null. */
export const complete = (stationId: string, pin: string | null) =>
  call<null>('complete', { station: stationId, pin });
export const withdraw = (clearance: string, cause: CauseWord) =>
  call<null>('withdraw', { clearance, cause });

// Rods.
export const checkDraft = (draft: RodDraft) => call<DraftView>('check_draft', { draft });
/** Begins the rod and says its id. */
export const beginRod = (draft: RodDraft) => call<string>('begin_rod', { draft });
/** With the PIN where something is put right, else null; `sure`: mixed units were looked at. */
export const reviseRod = (
  rodId: string,
  change: ChangeDraft,
  reason: string,
  sure: boolean,
  pin: string | null,
) => call<null>('revise_rod', { rod: rodId, change, reason, sure, pin });
/** How a rod bends and where its guides stand, as kept; else a beginning. */
export const layout = (rodId: string) => call<LayoutView>('layout', { rod: rodId });
/** A layout as it is being made, worked out. */
export const tryLayout = (rodId: string, draft: LayoutDraft) =>
  call<LayoutView>('try_layout', { rod: rodId, draft });
export const spaceGuides = (rodId: string, draft: LayoutDraft, spacing: SpacingDraft) =>
  call<LayoutView>('space_guides', { rod: rodId, draft, spacing });
/** With its guides moved for the better; `told` says what that came to. */
export const improveLayout = (rodId: string, draft: LayoutDraft) =>
  call<LayoutView>('improve_layout', { rod: rodId, draft });
/** What cutting so much off the tip and the butt would do. */
export const tryTrim = (rodId: string, draft: LayoutDraft, tip: string, butt: string) =>
  call<TrimView>('try_trim', { rod: rodId, draft, tip, butt });
export const chooseUnits = (units: UnitsChoice) => call<null>('choose_units', { units });
export const readTemperature = (stationId: string, text: string) =>
  call<null>('read_temperature', { station: stationId, text });
export const rod = (id: string) => call<RodView>('rod', { rod: id });
export const beginStage = (rodId: string, stage: string, stationId: string) =>
  call<null>('begin_stage', { rod: rodId, stage, station: stationId });
/** A lead leaves a stage out on one rod. */
export const leaveOutStage = (
  rodId: string,
  stage: string,
  reason: string,
  person: string,
  pin: string,
) => call<null>('leave_out_stage', { rod: rodId, stage, reason, person, pin });
export const takeInStage = (rodId: string, stage: string) =>
  call<null>('take_in_stage', { rod: rodId, stage });

// The walk through a stage.
export const walk = (rodId: string, stage: string) => call<WalkView>('walk', { rod: rodId, stage });
/** A lead lets a stage in hand go on by the text its file has now. */
export const moveStage = (rodId: string, stage: string, person: string, pin: string) =>
  call<null>('move_stage', { rod: rodId, stage, person, pin });
export const understand = (place: Place) => call<null>('understand', { place });
export const measure = (place: Place, text: string) => call<null>('measure', { place, text });
export const accept = (place: Place, reason: string, person: string, pin: string) =>
  call<null>('accept', { place, reason, person, pin });
export const nameLot = (place: Place, lot: string) => call<null>('name_lot', { place, lot });
/** All lots, those at hand first, with the rods on which each was used. */
export const lots = () => call<LotLine[]>('lots');
/** `expires`: `2027-03-31`, `2027-03`, or empty where the container names no day. */
export const registerLot = (what: string, marking: string, expires: string) =>
  call<null>('register_lot', { what, marking, expires });
export const lotGone = (lot: string) => call<null>('lot_gone', { lot });
/** A lead lets the lot named at the step be used after its last day. */
export const acceptLot = (place: Place, reason: string, person: string, pin: string) =>
  call<null>('accept_lot', { place, reason, person, pin });
/** `minutes` null: as long as the checklist says. */
export const startClock = (place: Place, minutes: number | null) =>
  call<null>('start_clock', { place, minutes });
/** With the PIN where the step asks for it (`asksPin`), else null. */
export const sign = (place: Place, pin: string | null) => call<null>('sign', { place, pin });
/** Copies a step in from a sheet filled in by hand. */
export const keyIn = (place: Place, sheet: SheetDraft, pin: string | null) =>
  call<null>('key_in', { place, sheet, pin });
/** Puts right what was signed; `person` and `pin` sign the correction. */
export const correct = (
  place: Place,
  entry: EntryPlace,
  says: string,
  reason: string,
  person: string,
  pin: string,
) => call<null>('correct', { place, entry, says, reason, person, pin });
export const witness = (place: Place, person: string, pin: string) =>
  call<null>('witness', { place, person, pin });
/** Leaves the step for a while; its clocks go on. */
export const callAway = (place: Place) => call<null>('call_away', { place });
/** Is at the step again that was left. */
export const comeBack = (place: Place) => call<null>('come_back', { place });
export const note = (place: Place, text: string) => call<null>('note', { place, text });

// Teaching.
export const crewTable = () => call<CrewTableView>('crew_table');
export const askTeaching = (
  stage: string,
  runs: number,
  refreshDays: number | null,
  person: string,
  pin: string,
) => call<null>('ask_teaching', { stage, runs, refreshDays, person, pin });
/** A lead showed and told the step to `learner`. */
export const presentStep = (place: Place, learner: string, person: string, pin: string) =>
  call<null>('present_step', { place, learner, person, pin });
/** A lead heard `learner` tell the key point. */
export const hearKeyPoints = (place: Place, learner: string, person: string, pin: string) =>
  call<null>('hear_key_points', { place, learner, person, pin });

// The checklist files.
export const checklists = () => call<ChecklistsView>('checklists');
export const checklistText = (id: string) => call<ChecklistText>('checklist_text', { id });
/** What would be wrong with the text if it were saved. */
export const tryChecklist = (path: string, text: string) =>
  call<Problem[]>('try_checklist', { path, text });
/** Saves it among the shop's own files, with whatever is wrong with it, and says what that is. */
export const saveChecklist = (path: string, text: string) =>
  call<Problem[]>('save_checklist', { path, text });
/** Says where the file is kept. */
export const putChecklistAside = (path: string) => call<string>('put_checklist_aside', { path });
/** A lead signs for the guards that the shop's own text takes away. */
export const acceptOverride = (id: string, reason: string, person: string, pin: string) =>
  call<null>('accept_override', { id, reason, person, pin });

// The ledger and its backups.
export const backups = () => call<BackupsView>('backups');
export const setBackupFolder = (folder: string) => call<null>('set_backup_folder', { folder });
/** Makes one now and says where it is. */
export const backUp = () => call<string>('back_up');
/** Looks for a backup that verifies; takes a while. */
export const wayBack = () => call<WayBackView | null>('way_back');
/** Puts it in the place of the damaged ledger, which is kept, and says where. */
export const bringBack = (path: string) => call<string>('bring_back', { path });

// This installation: its settings, its voice, its desktop.
/** Tells the desktop of an alarm. */
export const notify = (title: string, words: string) => call<null>('notify', { title, words });
export const keepAwake = (on: boolean) => call<null>('keep_awake', { on });
/** Whether it reads now: while the same text is being read, it stops instead. */
export const readAloud = (text: string) => call<boolean>('read_aloud', { text });
export const stopReading = () => call<null>('stop_reading');
export const benchSettings = () => call<BenchView>('bench_settings');
export const setBenchSettings = (settings: BenchSettings) =>
  call<null>('set_bench_settings', { settings });

// Paper.
export const printTargets = (what: Printable) => call<PrintView>('print_targets', { what });
/** The folder offered for files. */
export const saveFolder = () => call<string>('save_folder');
/** One page, from 1, as it will be printed; past the end, the last one. */
export const previewPages = (what: Printable, paper: PaperWord, page: number) =>
  call<PreviewView>('preview_pages', { what, paper, page });
export const savePages = (what: Printable, path: string, paper: PaperWord) =>
  call<PrintedView>('save_pages', { what, path, paper });
export const printPages = (what: Printable, printer: string, paper: PaperWord, copies: number) =>
  call<PrintedView>('print_pages', { what, printer, paper, copies });
/** Rows of one rod, or of the whole workshop; days may be empty. */
export const saveTable = (
  rod: string | null,
  from: string,
  to: string,
  form: TableWord,
  path: string,
) => call<PrintedView>('save_table', { rod, from, to, form, path });
/** How a job stands that was sent in this session. */
export const printJob = (job: string) => call<JobView>('print_job', { job });
/** Opens the folder of a file that was saved in this session. */
export const openFolder = (path: string) => call<null>('open_folder', { path });
