import { afterEach, expect, test } from 'vitest';
import App from '../src/App.svelte';
import { EXPLAINED } from '../src/guide/explained';
import { GUIDE } from '../src/guide/pages';
import { parseRoute, to } from '../src/shared/page.svelte';
import { at, press, settle, show } from './screen';

let close = () => {};
afterEach(() => {
  close();
  close = () => {};
  location.hash = '';
});
const maybe = (id: string) => document.getElementById(id);
const words = (id: string) => at(id).textContent.replace(/\s+/g, ' ').trim();
async function window_(hash: string, scene = 'normal') {
  location.hash = hash;
  const put = await show(App, {}, scene);
  close = () => void put.close();
  await settle();
}
async function f1() {
  window.dispatchEvent(new KeyboardEvent('keydown', { key: 'F1', cancelable: true }));
  await settle();
}
async function go(hash: string) {
  location.hash = hash;
  window.dispatchEvent(new HashChangeEvent('hashchange'));
  await settle();
}

test('every explanation is two to six whole sentences of each kind', () => {
  for (const [screen, told] of Object.entries(EXPLAINED)) {
    for (const part of [told.what, told.next, told.keys]) {
      expect(part.length, screen).toBeGreaterThanOrEqual(2);
      expect(part.length, screen).toBeLessThanOrEqual(6);
      for (const sentence of part) expect(sentence, screen).toMatch(/^[A-Z].*\.$/);
    }
    expect(told.keys.join(' '), screen).toContain('F1');
  }
});

test('no text promises what nobody can', () => {
  expect(JSON.stringify([EXPLAINED, GUIDE])).not.toMatch(/safe to|invalid/i);
});

test('F1 explains the screen one is on, and another one after going there', async () => {
  await window_('#/');
  expect(maybe('explain')).toBeNull();
  await f1();
  expect(words('explain-title')).toBe('The rack');
  await press('explain-close');
  expect(maybe('explain')).toBeNull();
  await go(to.lots);
  await f1();
  expect(words('explain-title')).toBe('Lots');
});

test('the button does what F1 does, and says so', async () => {
  await window_('#/crew');
  expect(at('explain-open').getAttribute('aria-label')).toBe('Explain this screen (F1)');
  await press('explain-open');
  expect(words('explain-title')).toBe('Crew');
});

test('what stands in the place of a screen is explained too', async () => {
  await window_('#/', 'empty');
  await press('explain-open');
  expect(words('explain-title')).toBe('Set up the workshop');
  close();
  document.body.innerHTML = '';
  await window_('#/', 'unopened');
  // The sheet is open still: what it tells follows the window.
  expect(words('explain-title')).toBe('This folder can’t be opened');
  await press('explain-close');
  close();
  await window_('#/ledger', 'damaged');
  await f1();
  expect(words('explain-title')).toBe('The ledger does not hold');
  await press('explain-close');
});

test('the guide has two pages that lead to each other', async () => {
  expect(parseRoute(to.guide(2))).toMatchObject({ name: 'guide', args: ['2'] });
  await window_('#/guide/1');
  expect(words('guide-title')).toBe(GUIDE[0].title);
  expect(at('guide-other').getAttribute('href')).toBe('#/guide/2');
  await go('#/guide/2');
  expect(words('guide-title')).toBe(GUIDE[1].title);
  await go('#/guide/9');
  expect(words('guide-title')).toBe(GUIDE[0].title);
  expect(at('to-guide').getAttribute('href')).toBe('#/guide/1');
});

test('a screen begins at what is next on it', async () => {
  await window_('#/new');
  await settle();
  expect(document.activeElement).toBe(at('customer'));
  await go('#/crew');
  expect(document.activeElement).toBe(at('main'));
});
