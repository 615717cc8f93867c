// The tones of the alarms, made by the window itself: no file is played.

import type { Tone } from './alarms';

export interface Sounds {
  play(tone: Tone): void;
}

/** Pitch in Hz, begin and length in seconds. */
const TONES: Record<Tone, [number, number, number][]> = {
  insistent: [
    [880, 0, 0.16],
    [1175, 0.2, 0.16],
    [880, 0.4, 0.16],
    [1175, 0.6, 0.26],
  ],
  repeated: [
    [784, 0, 0.2],
    [784, 0.3, 0.2],
  ],
  once: [
    [587, 0, 0.25],
    [784, 0.28, 0.5],
  ],
};

class WebTones implements Sounds {
  #context: AudioContext | undefined;

  play(tone: Tone): void {
    if (typeof AudioContext === 'undefined') return;
    this.#context ??= new AudioContext();
    const context = this.#context;
    void context.resume();
    for (const [pitch, begin, length] of TONES[tone]) {
      const at = context.currentTime + begin;
      const [source, loud] = [context.createOscillator(), context.createGain()];
      source.frequency.value = pitch;
      // Swells and fades, or it would click.
      loud.gain.setValueAtTime(0, at);
      loud.gain.linearRampToValueAtTime(0.6, at + 0.02);
      loud.gain.setValueAtTime(0.6, at + length - 0.04);
      loud.gain.linearRampToValueAtTime(0, at + length);
      source.connect(loud).connect(context.destination);
      source.start(at);
      source.stop(at + length);
    }
  }
}

let sounds: Sounds = new WebTones();

/** Puts another in the place of the window's tones. For tests. */
export function useSounds(other: Sounds): void {
  sounds = other;
}

export const play = (tone: Tone): void => sounds.play(tone);
