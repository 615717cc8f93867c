import { expect, test } from 'vitest';
import { parseRoute, to } from '../src/shared/page.svelte';

test('an address names its screen', () => {
  expect(parseRoute('#/')).toMatchObject({ name: 'rack' });
  expect(parseRoute('')).toMatchObject({ name: 'rack' });
  expect(parseRoute(to.walk('rod 1/a', 'spine'))).toMatchObject({
    name: 'walk',
    args: ['rod 1/a', 'spine'],
  });
});

test('what can’t be read is the rack', () => {
  expect(parseRoute('#/walk/only-a-rod').name).toBe('rack');
  expect(parseRoute('#/toString/x').name).toBe('rack');
  expect(parseRoute('#/rod/%E0%A4%A')).toMatchObject({ name: 'rod', args: ['%E0%A4%A'] });
});

test('pointing at a stage does not leave the rod', () => {
  expect(parseRoute(to.rod('r1', 'spine')).key).toBe(parseRoute(to.rod('r1')).key);
});

test('the ledger has an address of its own', () => {
  expect(parseRoute(to.ledger).name).toBe('ledger');
});

test('bend and guides of a rod have an address', () => {
  expect(parseRoute(to.layout('r1'))).toMatchObject({ name: 'layout', args: ['r1'] });
  expect(parseRoute('#/layout').name).toBe('rack');
});
