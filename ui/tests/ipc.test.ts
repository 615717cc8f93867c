import { expect, test } from 'vitest';
import { look, sign, startClock, toTrouble, useBackend } from '../src/lib/ipc';

test('a refusal of the shell arrives as it is', async () => {
  const trouble = { code: 'no-clearance', message: 'No heat at Bench.', field: null };
  useBackend({ invoke: () => Promise.reject(trouble) });
  await expect(sign({ rod: 'r', stage: 's', step: 't' }, null)).rejects.toEqual(trouble);
});

test('the field at fault is kept', () => {
  const trouble = { code: 'bad-input', message: 'No diameter.', field: 'diameters.2.diameter' };
  expect(toTrouble(trouble).field).toBe('diameters.2.diameter');
});

test('bare words and errors of the window become troubles too', async () => {
  useBackend({ invoke: () => Promise.reject('command look not found') });
  await expect(look()).rejects.toEqual({
    code: 'shell',
    message: 'command look not found',
    field: null,
  });
  expect(toTrouble(new Error('gone'))).toEqual({ code: 'shell', message: 'gone', field: null });
});

test('even nothing at all is said in a sentence', () => {
  expect(toTrouble(undefined).message).toMatch(/\.$/);
  expect(toTrouble('').message).toMatch(/\.$/);
});

test('arguments go out under the names the shell knows', async () => {
  const sent: unknown[] = [];
  useBackend({
    invoke: async (command, args) => {
      sent.push([command, args]);
      return null;
    },
  });
  const place = { rod: 'r', stage: 's', step: 't' };
  await startClock(place, null);
  expect(sent).toEqual([['start_clock', { place, minutes: null }]]);
});
