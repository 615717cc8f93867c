// What belongs to this installation, answered from memory: settings, voice, notifications. Not part of the window.

import { AS_THEY_COME } from '../domain/bench.svelte';
import type { BenchSettings } from './generated/types';
import { refuse } from './fakeLedger';

export function benchCommands() {
  let kept: BenchSettings = AS_THEY_COME;
  let reading = '';
  return {
    notify: () => null,
    keep_awake: () => null,
    read_aloud: ({ text }: { text: string }) => {
      reading = reading === text ? '' : text;
      return reading !== '';
    },
    stop_reading: () => void (reading = ''),
    bench_settings: () => ({ settings: kept, trouble: null }),
    set_bench_settings: ({ settings }: { settings: BenchSettings }) => {
      for (const field of ['goOnKey', 'awayKey'] as const) {
        if (settings[field].length === 1)
          throw refuse('This key writes. It would break typing.', 'bad-input', field);
      }
      kept = settings;
    },
  };
}
