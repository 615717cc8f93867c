// The fake's checklist files: just enough of them to move the screen. Everything in it is invented. Not
// part of the window.

import { checkPin, refuse } from './fakeLedger';
import { STAGES } from './fakeSteps';
import type { World } from './fakeWorld';
import type { ChecklistLine, DifferenceLine, NewerView, Problem } from './generated/types';

interface FakeFile extends ChecklistLine {
  text: string;
  /** What comes with Coldbench, where this took its place. */
  beneath: FakeFile | null;
}

const FOLDER = '/home/builder/Coldbench/checklists';

const difference = (
  place: string,
  of: string,
  was: string,
  now: string,
  takesAway: boolean,
): DifferenceLine => ({ place, of, was, now, takesAway });

const CAUTION =
  'Broken fibres stick in the skin, and a cracked blank can burst when bent. Wear eye protection and gloves; put a blank that snags aside.';
const LOOK = 'Wipe along the blank with a cotton pad, then roll it slowly on a flat board.';

const DIFFERENCES: DifferenceLine[] = [
  difference(LOOK, 'key point', 'The pad snags where fibres are broken.', 'Slowly.', false),
  difference(LOOK, 'caution', CAUTION, '', true),
  difference('', 'aim', 'Three trials agree.', 'Two trials agree.', false),
];

/** A newer text of a stage in hand. */
export const newerOf = (refused: boolean): NewerView => ({
  differences: DIFFERENCES,
  refused: refused
    ? 'The new text has no step “look-over”, and something is signed or entered there. Put the step back into the file, with the same id.'
    : null,
});

const textOf = (kind: string, id: string, title: string) =>
  [
    `# ${title}. Invented.`,
    'format = 1',
    `kind = "${kind}"`,
    `id = "${id}"`,
    `title = "${title}"`,
    '',
    '[[step]]',
    'id = "first"',
    'what = "Wipe the blank with a cotton pad."',
    '',
  ].join('\n');

function shipped(folder: string, kind: string, id: string, title: string): FakeFile {
  const words = { stages: 'Stage', stations: 'Station list', materials: 'Material' }[folder];
  return {
    id,
    kind: words ?? 'Adhesive',
    title,
    path: `${folder}/${id}.toml of Coldbench`,
    shipped: true,
    over: false,
    differences: [],
    held: false,
    accepted: null,
    text: textOf(kind, id, title),
    beneath: null,
  };
}

/** What is wrong with a text: as good as nothing is looked at. */
function tried(path: string, text: string): Problem[] {
  return text.split('\n').flatMap((line, i): Problem[] => {
    const at = (unusable: boolean, word: string, message: string, help: string): Problem => ({
      path,
      unusable,
      code: 'checklist::fake',
      message,
      help,
      line: i + 1,
      column: line.indexOf(word) + 1,
      excerpt: line.trim(),
    });
    if (line.includes('lenght'))
      return [at(true, 'lenght', 'No step knows the key “lenght”.', 'Write “length”.')];
    if (/what = "Check /.test(line))
      return [
        at(false, '"Check', 'The step only asks to check.', 'Ask for the value that was seen.'),
      ];
    return [];
  });
}

export function checklistCommands(scene: string, w: World): Record<string, (a: any) => unknown> {
  let files: FakeFile[] = [
    shipped('materials', 'material', 'acetone', 'Acetone'),
    ...STAGES.map((stage) => shipped('stages', 'stage', stage.id, stage.title)),
    ...(w.stations[0]?.lists ?? [])
      .filter((list) => list.kind !== 'own')
      .map((list) => shipped('stations', list.kind, list.id, list.title)),
  ];
  /** Files of the shop's own that can't be used. */
  const broken = new Map<string, string>();

  const line = ({ text: _text, beneath: _beneath, ...rest }: FakeFile): ChecklistLine => rest;
  /** Takes a file of the shop's own in, or leaves it among the broken ones. */
  function put(path: string, text: string, differences: DifferenceLine[] = []) {
    drop(path);
    if (tried(path, text).some((one) => one.unusable)) {
      broken.set(path, text);
      return;
    }
    const id = /^id = "(.*)"/m.exec(text)?.[1] ?? '';
    const beneath = files.find((file) => file.id === id && file.shipped) ?? null;
    files = files.filter((file) => file !== beneath);
    const folder = path.split('/')[0] ?? '';
    files.push({
      ...(beneath ?? shipped(folder, '', id, /^title = "(.*)"/m.exec(text)?.[1] ?? id)),
      path,
      text,
      beneath,
      shipped: false,
      over: beneath !== null,
      differences,
      held: differences.some((one) => one.takesAway),
      accepted: null,
    });
  }
  function drop(path: string): boolean {
    const found = files.find((file) => !file.shipped && file.path === path);
    files = files.filter((file) => file !== found);
    if (found?.beneath) files.push(found.beneath);
    return broken.delete(path) || found !== undefined;
  }

  if (scene !== 'fresh' && scene !== 'empty') {
    put('stages/spine.toml', textOf('stage', 'spine', 'Find and mark the spine'), DIFFERENCES);
    put('stations/friday-sweep.toml', textOf('station-list', 'friday-sweep', 'Friday sweep'));
  }
  if (scene === 'mend' || scene === 'full') {
    put('stages/guides.toml', `${textOf('stage', 'guides', 'Guides')}lenght = "12 mm"\n`);
    put(
      'stages/rings.toml',
      textOf('stage', 'rings', 'Trim rings').replace('Wipe the blank', 'Check the rings'),
    );
  }

  const may = () => {
    if (w.readOnly) throw refuse(w.readOnly, 'read-only');
    if (!w.active) throw refuse('Unlock first.', 'locked');
  };
  const fileOf = (id: string): FakeFile => {
    const found = files.find((file) => file.id === id);
    if (!found) throw refuse(`The checklist “${id}” is missing or can't be used.`, 'no-checklist');
    return found;
  };

  return {
    checklists: () =>
      structuredClone({
        folder: FOLDER,
        files: files.map(line),
        problems: [
          ...files.flatMap((file) => tried(file.path, file.text)),
          ...[...broken].flatMap(([path, text]) => tried(path, text)),
        ],
      }),
    checklist_text: ({ id }) => {
      const faulty = broken.get(id);
      if (faulty !== undefined) return { path: id, text: faulty, own: true };
      const { path, text, shipped: theirs } = fileOf(id);
      return { path: path.replace(' of Coldbench', ''), text, own: !theirs };
    },
    try_checklist: ({ path, text }) => tried(path, text),
    save_checklist: ({ path, text }) => {
      may();
      if (!path.endsWith('.toml'))
        throw refuse(
          'Write a file name that ends with .toml, e.g. stages/my-stage.toml.',
          'bad-input',
          'path',
        );
      put(path, text);
      return tried(path, text);
    },
    put_checklist_aside: ({ path }) => {
      may();
      if (!drop(path)) throw refuse('There is no such file here.');
      return `The file is kept as ${FOLDER}/${path.replace('.toml', '')}.2026-11-28-101500.aside.`;
    },
    accept_override: ({ id, reason, person, pin }) => {
      checkPin(pin);
      const name = w.crew.find((one) => one.id === person)?.name ?? person;
      Object.assign(fileOf(id), { held: false, accepted: `${reason} (${name}, a moment ago)` });
    },
  };
}
