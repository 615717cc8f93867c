// The fake's ledger: entries and their corrections, keys, backups and the way back. Everything in
// it is invented. Not part of the window.

import { iso, type World } from './fakeWorld';
import type {
  BackupsView,
  EntryPlace,
  EntryView,
  HealthView,
  StepView,
  Trouble,
  WayBackView,
} from './generated/types';

export const ORIGIN = '9c41e07ab25d3f68';
const DIGEST = '5b0e77d1c2943fa86e1d40b7932ac85ff7046be3d81c95a20e6b1f4437d9ac08';

export const refuse = (
  message: string,
  code = 'refused',
  field: string | null = null,
): Trouble => ({ code, message, field });

/** Every PIN of four or more but 0000 fits. */
export function checkPin(pin: string): void {
  if (!/^.{4,}$/.test(pin) || pin === '0000')
    throw refuse('This PIN does not fit the name. Try again.', 'wrong-pin');
}

/** What stands signed at a step, numbered on. */
export function entriesOf(w: World, step: StepView, signed: string): EntryView[] {
  const entry = (words: string, said: string): EntryView => ({
    origin: ORIGIN,
    number: (w.events += 1),
    words,
    said,
    signed,
    corrections: [],
  });
  const { record, lot, starts } = step;
  const value = record && (record.value ?? record.example);
  return [
    ...(record && value ? [entry(`${record.name}: ${value}`, value)] : []),
    ...(lot ? [entry(`${lot.material}: ${lot.named ?? 'R 2207-B'}`, lot.named ?? 'R 2207-B')] : []),
    ...(starts ? [entry(`Clock started: ${starts.name}, ${starts.minutes} min`, '')] : []),
    entry('Step done', ''),
  ];
}

export function healthOf(w: World): HealthView {
  return {
    verified: w.fault ? null : w.verified,
    fault: w.fault,
    backup: w.backup,
    backupTrouble: w.backupTrouble,
  };
}

interface Correction {
  entry: EntryPlace;
  says: string;
  reason: string;
  person: string;
  pin: string;
}

/** `entries` finds what stands signed anywhere. */
export function ledgerCommands(
  w: World,
  entries: () => EntryView[],
): Record<string, (a: any) => unknown> {
  const nameOf = (id: string) => w.crew.find((p) => p.id === id)?.name ?? id;
  return {
    renew_key: ({ person, newPin, by, pin }) => {
      if (newPin.length < 4) throw refuse('A PIN has at least 4 characters.', 'bad-input', 'pin');
      if (!by) throw refuse('Pick who vouches.');
      checkPin(pin);
      if (w.active === person) w.active = null;
    },
    correct: ({ entry, says, reason, person, pin }: Correction) => {
      checkPin(pin);
      const found = entries().find((e) => e.number === entry.number);
      if (!found) throw refuse('There is no such entry here.');
      if (says.trim() === '') throw refuse('The correction is missing. Write it in.', 'bad-input');
      if (reason.trim() === '') throw refuse('The reason is missing. Write it in.', 'bad-input');
      w.events += 1;
      found.corrections.push(`${says}. Reason: ${reason} (${nameOf(person)}, a moment ago)`);
    },
    backups: (): BackupsView => ({
      folder: w.backupFolder,
      suggestion: '/home/builder/Documents/Coldbench backups',
      newest: w.newestBackup,
      origin: w.founded ? ORIGIN : '',
      events: w.founded ? w.events : 0,
      head: w.founded ? DIGEST : '',
    }),
    set_backup_folder: ({ folder }) => {
      if (folder.startsWith('/home/builder/Coldbench'))
        throw refuse(
          'This folder lies in the workshop’s own: what takes one would take both. Choose another, best on another disk.',
          'bad-input',
          'folder',
        );
      Object.assign(w, { backupFolder: folder, newestBackup: null });
    },
    back_up: () => {
      if (w.backupFolder === null)
        throw refuse('No folder for backups is named yet. Name one.', 'no-backup');
      const at = iso().slice(0, 19);
      w.newestBackup = `${at.replace('T', ' at ')}, ${w.events} events`;
      w.backupTrouble = null;
      w.backup = `A backup was made: ${w.backupFolder}.`;
      return `Backed up and verified: ${w.events} events in ${w.backupFolder}/coldbench-${at}.`;
    },
    way_back: (): WayBackView | null => w.wayBack,
    bring_back: ({ path }) => {
      if (!w.fault)
        throw refuse(
          'The ledger of this workshop holds; there is nothing to bring back.',
          'failed',
        );
      if (path !== w.wayBack?.path) throw refuse(`There is no backup in ${path}.`, 'no-backup');
      Object.assign(w, { fault: null, readOnly: null, founded: true, verified: w.events });
      return 'The backup is in place. The damaged ledger is kept in /home/builder/Coldbench/damaged-2026-11-25T10-41-07.';
    },
  };
}
