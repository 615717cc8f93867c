// The drawings: all of them say what they show, can be read from a metre, and stay on their sheet.

import { readdirSync, readFileSync } from 'node:fs';
import { afterEach, expect, test } from 'vitest';
import { extent, STROKE, WIDTH, type Mark, type Words } from '../src/pictures/draw';
import { PICTURES } from '../src/pictures';
import Walk from '../src/views/Walk.svelte';
import { at, press, show } from './screen';

let close = () => {};
afterEach(() => close());

const all = Object.entries(PICTURES);

function words(marks: Mark[]): Words[] {
  return marks.flatMap((mark) =>
    'marks' in mark ? words(mark.marks) : 'words' in mark ? [mark] : [],
  );
}

test('each says what it shows, and no two say the same', () => {
  const alts = all.map(([, { alt }]) => alt);
  expect(new Set(alts).size).toBe(all.length);
  for (const [name, { alt }] of all) {
    expect(alt, name).toMatch(/^[A-Z].{30,}\.$/);
    expect(alt, name).not.toMatch(/picture of|drawing of|safe to/i);
  }
});

test('words and lines can be read from a metre', () => {
  for (const [name, { width, marks }] of all) {
    // It is shown at its own size where there is room, and the words are measured in it.
    expect(width, name).toBe(WIDTH);
    const said = words(marks);
    expect(said.length, name).toBeGreaterThan(1);
    for (const one of said) expect(one.size, `${name}: ${one.words}`).toBeGreaterThanOrEqual(24);
  }
  for (const [look, width] of Object.entries(STROKE)) {
    expect(width, look).toBeGreaterThanOrEqual(1.5);
  }
});

test('no words run off their sheet', () => {
  for (const [name, { width, height, marks }] of all) {
    for (const one of words(marks)) {
      const [left, right] = extent(one);
      expect(left, `${name}: ${one.words}`).toBeGreaterThanOrEqual(0);
      expect(right, `${name}: ${one.words}`).toBeLessThanOrEqual(width);
      expect(one.y - one.size * 0.75, `${name}: ${one.words}`).toBeGreaterThanOrEqual(0);
      expect(one.y, `${name}: ${one.words}`).toBeLessThanOrEqual(height);
    }
  }
});

/** Every step of the shipped stages that shows a drawing, with all that it says. */
function shipped(): { step: string; name: string; says: string }[] {
  const folder = '../checklists/stages';
  return readdirSync(folder).flatMap((file) =>
    readFileSync(`${folder}/${file}`, 'utf8')
      .split('[[step]]')
      .slice(1)
      .flatMap((step) => {
        const name = /^picture = "(.+)"$/m.exec(step)?.[1];
        return name
          ? [{ step: `${file}: ${/id = "(.+)"/.exec(step)?.[1]}`, name, says: step }]
          : [];
      }),
  );
}

test('a number in a drawing is that of every step that shows it', () => {
  const steps = shipped();
  expect(steps.length).toBeGreaterThan(all.length);
  const drawn = new Map(all);
  for (const { step, name, says } of steps) {
    for (const { words: said } of words(drawn.get(name)?.marks ?? [])) {
      const number = /\d+ (mm|m|g|°C)\b/.exec(said)?.[0];
      if (!number) continue;
      const written = new RegExp(`\\b${number.replace(/ m$/, ' (m|metres)')}\\b`);
      expect(says, `${step} shows ${name}`).toMatch(written);
    }
  }
});

test('the drawing follows once the caution is read, and says what it shows', async () => {
  const shown = await show(Walk, { rodId: 'r3', stage: 'spine' }, 'normal', (fake) =>
    fake.invoke('begin_stage', { rod: 'r3', stage: 'spine', station: 'bench' }),
  );
  close = () => void shown.close();
  expect(document.getElementById('picture')).toBeNull();
  await press('understand');
  expect(at('picture').getAttribute('role')).toBe('img');
  expect(at('picture').getAttribute('aria-label')).toBe(PICTURES['pad-snags'].alt);
  const order = at('step-what').compareDocumentPosition(at('picture'));
  expect(order & Node.DOCUMENT_POSITION_FOLLOWING).toBeTruthy();
});
