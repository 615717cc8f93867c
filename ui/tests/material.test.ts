import { afterEach, beforeEach, expect, test } from 'vitest';
import type { MaterialDraft } from '../src/lib/generated/types';
import { parseRoute, to } from '../src/shared/page.svelte';
import Material from '../src/views/Material.svelte';
import {
  emptyComponent,
  emptyMaterial,
  inOrder,
  isWritten,
  splitHazards,
  toSend,
} from '../src/views/material/sheet';
import { at, press, settle, show, type } from './screen';

const KNOWN: [string, string][] = [
  ['H225', 'Highly flammable liquid and vapour.'],
  ['H319', 'Causes serious eye irritation.'],
  ['H361', 'Suspected of damaging fertility or the unborn child.'],
  ['EUH066', 'Repeated exposure may cause skin dryness or cracking.'],
  ['skin-contact', 'Harmful on the skin.'],
  ['vapour', 'Vapour: harmful to breathe, may burn.'],
];
const split = (text: string) => splitHazards(text, KNOWN);

test('hazards are taken as a sheet prints them', () => {
  expect(split('h225, H 319;EUH066\nskin-contact')).toEqual({
    codes: ['H225', 'H319', 'EUH066', 'skin-contact'],
    unknown: [],
  });
  // Its words come after the code, and the word “vapour” among them is no code.
  expect(split('H225 Highly flammable liquid and vapour.').codes).toEqual(['H225']);
  expect(split('H225 vapour H225').codes).toEqual(['H225', 'vapour']);
  expect(split('H361d + H319').codes).toEqual(['H361', 'H319']);
  expect(split(' , ')).toEqual({ codes: [], unknown: [] });
});

test('what is no hazard is named, not dropped', () => {
  expect(split('H225 P210, H999, flames')).toEqual({
    codes: ['H225'],
    unknown: ['P210', 'H999', 'flames'],
  });
  expect(splitHazards('H999, P210', [])).toEqual({ codes: ['H999'], unknown: ['P210'] });
});

test('a row in which nothing stands is not sent, and one with a single figure is', () => {
  const draft: MaterialDraft = {
    ...emptyMaterial(),
    components: [
      { ...emptyComponent(), volatile: false, name: '  ' },
      { ...emptyComponent(), ceiling: '300 ppm' },
    ],
  };
  expect(toSend(draft).components.map((row) => row.ceiling)).toEqual(['300 ppm']);
  expect(draft.components).toHaveLength(2);
});

test('what keeps the file from being written comes first', () => {
  const problem = (unusable: boolean, line: number) => ({
    path: 'm.toml',
    unusable,
    code: 'c',
    message: '',
    help: '',
    line,
    column: 1,
    excerpt: '',
  });
  const told = [problem(false, 1), problem(true, 9), problem(true, 4)];
  expect(inOrder(told).map((one) => one.line)).toEqual([4, 9, 1]);
  expect(isWritten(told)).toBe(false);
  expect(isWritten([problem(false, 1)])).toBe(true);
});

test('the page has an address of its own', () => {
  expect(parseRoute(to.material)).toMatchObject({ name: 'material', args: [] });
});

let close = () => {};
let sent: MaterialDraft[] = [];
beforeEach(async () => {
  sent = [];
  const shown = await show(Material, {}, 'locked', async (fake) => {
    const answer = fake.invoke.bind(fake);
    fake.invoke = (command, args) => {
      if (command === 'save_material') sent.push(args!.draft as MaterialDraft);
      return answer(command, args);
    };
  });
  close = () => void shown.close();
});
afterEach(() => close());

function pick(id: string, word: string) {
  at<HTMLSelectElement>(id).value = word;
  at(id).dispatchEvent(new Event('change', { bubbles: true }));
}
async function enter(id: string) {
  const event = new KeyboardEvent('keydown', { key: 'Enter', bubbles: true, cancelable: true });
  at(id).dispatchEvent(event);
  await settle();
  return event;
}

test('what the sheet says is sent as it was written, and the form is empty then', async () => {
  const words: Record<string, string> = {
    'mat-title': 'Brush cleaner',
    'mat-sheet': 'Sheet of its maker, 2026-03-12',
    'mat-caution': 'Vapour burns. Keep flames out.',
    'mat-name-0': 'Acetone',
    'mat-cas-0': '67-64-1',
    'mat-share-0': '60–80 %',
    'mat-molar-0': '58.08 g/mol',
    'mat-day-0': '250 ppm',
    'mat-short-0': '500 ppm',
    'mat-ceiling-0': '900 ppm',
    'mat-limit-0': '2.5 %',
    'mat-density': '0.79 g/mL',
    'mat-flash': '-18 °C',
    'mat-boils': '56 °C',
    'mat-autoignition': '465 °C',
    'mat-lower': '2.1 %',
    'mat-amount': '15 mL',
    'mat-purpose': 'a wet cloth',
  };
  for (const [id, text] of Object.entries(words)) type(id, text);
  type('mat-hazard', 'H225');
  await settle();
  expect(at('mat-hazard-words').textContent).toContain('Highly flammable');
  await enter('mat-hazard');
  await press('mat-component-add');
  expect(document.activeElement).toBe(at('mat-name-1'));
  type('mat-name-1', 'Not named on the sheet');
  type('mat-share-1', '20–40 %');
  pick('mat-volatile-1', 'no');
  // Typed and not added: it is meant as well.
  type('mat-hazard', 'H319');
  await press('mat-save');
  expect(sent).toEqual([
    {
      title: 'Brush cleaner',
      sheet: 'Sheet of its maker, 2026-03-12',
      hazards: ['H225', 'H319'],
      caution: 'Vapour burns. Keep flames out.',
      density: '0.79 g/mL',
      flash: '-18 °C',
      boils: '56 °C',
      autoignition: '465 °C',
      lowerLimit: '2.1 %',
      components: [
        {
          name: 'Acetone',
          cas: '67-64-1',
          share: '60–80 %',
          volatile: true,
          molarMass: '58.08 g/mol',
          lowerLimit: '2.5 %',
          dayLimit: '250 ppm',
          shortLimit: '500 ppm',
          ceiling: '900 ppm',
        },
        {
          ...emptyComponent(),
          name: 'Not named on the sheet',
          share: '20–40 %',
          volatile: false,
        },
      ],
      amount: '15 mL',
      purpose: 'a wet cloth',
    },
  ]);
  expect(at('mat-outcome').textContent).toContain('Saved as a material file');
  expect(at<HTMLAnchorElement>('mat-air').getAttribute('href')).toMatch(/^#\/air\/./);
  expect(document.activeElement).toBe(at('mat-outcome'));
  for (const id of Object.keys(words)) expect(at<HTMLInputElement>(id).value).toBe('');
  expect(document.getElementById('mat-name-1')).toBeNull();
  expect(document.getElementById('mat-hazard-remove-H225')).toBeNull();
});

test('what is unusable keeps the file from being written, and what was typed stays', async () => {
  type('mat-title', 'Brush cleaner');
  type('mat-name-0', 'Acetone');
  type('mat-density', '0.79');
  type('mat-caution', 'word '.repeat(40));
  await press('mat-save');
  expect(at('mat-outcome-title').textContent).toContain('Nothing was written yet');
  const [first, second] = at('mat-problems').querySelectorAll('li');
  expect(first!.dataset.unusable).toBe('true');
  expect(first!.querySelector('pre')!.textContent).toBe('density = "0.79"');
  expect(first!.textContent).toContain('0.79 g/mL');
  expect(second!.dataset.unusable).toBe('false');
  expect(document.getElementById('mat-air')).toBeNull();
  expect(at<HTMLInputElement>('mat-density').value).toBe('0.79');

  type('mat-density', '0.79 g/mL');
  await press('mat-save');
  expect(at('mat-outcome-title').textContent).toContain('Saved. Look at these:');
  expect(at('mat-problems').querySelectorAll('li')).toHaveLength(1);
  expect(at('mat-outcome').textContent).toContain('Saved as a material file');
  expect(at<HTMLInputElement>('mat-title').value).toBe('');
});

test('a name that is taken is told at the name', async () => {
  type('mat-title', 'Acetone');
  await press('mat-save');
  expect(at('mat-title-wrong').textContent).toContain('material of this name');
  expect(document.activeElement).toBe(at('mat-title'));
  expect(document.getElementById('mat-trouble')).toBeNull();
  expect(document.getElementById('mat-outcome')).toBeNull();
  expect(at<HTMLInputElement>('mat-title').value).toBe('Acetone');
});

test('a code that is none holds the save and stays in its field', async () => {
  type('mat-hazard', 'H225, H999');
  await press('mat-save');
  expect(sent).toEqual([]);
  expect(at<HTMLInputElement>('mat-hazard').value).toBe('H999');
  expect(at('mat-hazard-wrong').textContent).toContain('H999');
  expect(at('mat-hazards').textContent).toContain('Highly flammable');
  await press('mat-hazard-remove-H225');
  expect(document.getElementById('mat-hazard-remove-H225')).toBeNull();
});

test('a purpose without an amount is not lost without a word', async () => {
  type('mat-purpose', 'a wet cloth');
  await press('mat-save');
  expect(sent).toEqual([]);
  expect(document.activeElement).toBe(at('mat-amount'));
});

test('removing a row takes that row, its limits too', async () => {
  type('mat-name-0', 'Acetone');
  await press('mat-component-add');
  type('mat-name-1', 'Toluene');
  type('mat-day-1', '20 ppm');
  type('mat-limit-1', '1.0 %');
  await press('mat-component-remove-0');
  expect(at<HTMLInputElement>('mat-name-0').value).toBe('Toluene');
  expect(at<HTMLInputElement>('mat-day-0').value).toBe('20 ppm');
  expect(at<HTMLInputElement>('mat-limit-0').value).toBe('1.0 %');
  expect(document.getElementById('mat-name-1')).toBeNull();
});

test('Enter in a line saves nothing', async () => {
  type('mat-title', 'Brush cleaner');
  expect((await enter('mat-title')).defaultPrevented).toBe(true);
  expect(sent).toEqual([]);
});

test('every field has a label and a hint', () => {
  const fields = document.querySelectorAll<HTMLInputElement>('input, select, textarea');
  expect(fields).toHaveLength(20);
  for (const field of fields) {
    expect(field.labels, field.id).toHaveLength(1);
    const told = field.getAttribute('aria-describedby')?.split(' ') ?? [];
    expect(told, field.id).toContain(`${field.id}-hint`);
    for (const id of told) expect(document.getElementById(id), id).not.toBeNull();
  }
});
