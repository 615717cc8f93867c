// What can be looked at, saved and printed.

import type {
  PaperWord,
  PreviewView,
  PrintedView,
  PrintView,
  SheetWord,
} from '../../lib/generated/types';
import {
  previewRecord,
  previewSheet,
  previewStationLog,
  printRecord,
  printSheet,
  printStationLog,
  printTargets,
  saveRecord,
  saveSheet,
  saveStationLog,
  stationLogTargets,
} from '../../lib/ipc';

export interface Source {
  /** As in “Save the build log”. */
  name: string;
  targets(): Promise<PrintView>;
  /** `page` counts from 1; past the end it is the last one. */
  preview(paper: PaperWord, page: number): Promise<PreviewView>;
  save(path: string, paper: PaperWord): Promise<PrintedView>;
  print(printer: string, paper: PaperWord, copies: number): Promise<PrintedView>;
}

export const buildLog = (rod: string): Source => ({
  name: 'build log',
  targets: () => printTargets(rod),
  preview: (paper, page) => previewRecord(rod, paper, page),
  save: (path, paper) => saveRecord(rod, path, paper),
  print: (printer, paper, copies) => printRecord(rod, printer, paper, copies),
});

/** `day` as in `2026-11-25`. */
export const stationLog = (station: string, day: string): Source => ({
  name: 'log',
  targets: () => stationLogTargets(station, day),
  preview: (paper, page) => previewStationLog(station, day, paper, page),
  save: (path, paper) => saveStationLog(station, day, path, paper),
  print: (printer, paper, copies) => printStationLog(station, day, printer, paper, copies),
});

/** `of` is the id of a rod, a person or a clearance; empty where the sheet is of the whole workshop, as
 * `stage` is where it is of no stage. */
export const singleSheet = (sheet: SheetWord, of = '', stage = ''): Source => ({
  name: 'sheet',
  targets: () => printTargets(''),
  preview: (paper, page) => previewSheet(sheet, of, stage, paper, page),
  save: (path, paper) => saveSheet(sheet, of, stage, path, paper),
  print: (printer, paper, copies) => printSheet(sheet, of, stage, printer, paper, copies),
});
