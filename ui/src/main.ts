import { mount } from 'svelte';
import App from './App.svelte';
import './app.css';
import './themes.css';
import { useBackend } from './lib/ipc';

async function start(): Promise<void> {
  // The condition is settled when the window's pages are built, and the fake left out of them.
  if (import.meta.env.MODE !== 'production') {
    const scene = new URLSearchParams(location.search).get('fake');
    if (scene !== null) {
      const { fakeBackend } = await import('./lib/fake');
      useBackend(fakeBackend(scene));
    }
  }
  const target = document.getElementById('app');
  if (target) mount(App, { target });
}

void start();
