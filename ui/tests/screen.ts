// Puts one screen up over the fake, as the frame would.

import { flushSync, mount, tick, unmount, type Component } from 'svelte';
import { desk } from '../src/domain/desk.svelte';
import { fakeBackend } from '../src/lib/fake';
import { useBackend } from '../src/lib/ipc';

export async function show<P extends Record<string, unknown>>(
  screen: Component<P>,
  props: P,
  scene = 'normal',
  before: (fake: ReturnType<typeof fakeBackend>) => Promise<unknown> = async () => {},
) {
  const fake = fakeBackend(scene);
  useBackend(fake);
  await before(fake);
  fake.calls.length = 0;
  await desk.refresh();
  document.body.innerHTML = '';
  const shown = mount(screen, { target: document.body, props });
  await settle();
  return { fake, close: () => unmount(shown) };
}

/** Lets every answer of the fake arrive and be drawn. */
export async function settle(): Promise<void> {
  for (let i = 0; i < 12; i += 1) {
    await Promise.resolve();
    await tick();
  }
  flushSync();
}

export function at<T extends HTMLElement = HTMLElement>(id: string): T {
  const found = document.getElementById(id);
  if (!found) throw new Error(`There is no element with the id ${id}.`);
  return found as T;
}

export function type(id: string, text: string): void {
  const input = at<HTMLInputElement>(id);
  input.value = text;
  input.dispatchEvent(new Event('input', { bubbles: true }));
  input.dispatchEvent(new FocusEvent('focusout', { bubbles: true }));
}

export async function press(id: string): Promise<void> {
  at(id).click();
  await settle();
}
