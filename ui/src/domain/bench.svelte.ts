// The settings of this installation, and what of them the whole document follows: its theme and its scale.

import type { BenchSettings, Trouble } from '../lib/generated/types';
import { benchSettings, setBenchSettings, toTrouble } from '../lib/ipc';
import { isKey, keyWords } from '../shared/keys';

/** 100 mm as a style sheet has them, in its pixels: what a screen shows that nobody measured. */
export const HUNDRED_MM = (100 * 96) / 25.4;
/** The walk's type grows to this at most, and never shrinks. */
const MOST = 2;

/** How much larger type must be set here, so that it is as large as it was meant to be. */
export const armsLength = (hundredMm: number | null): number =>
  hundredMm === null ? 1 : Math.min(MOST, Math.max(1, hundredMm / HUNDRED_MM));

/** As they come, until the file of this installation was read. */
export const AS_THEY_COME: BenchSettings = {
  theme: 'paper',
  goOnKey: 'Space',
  awayKey: 'F8',
  alarmSound: true,
  notifications: true,
  hundredMm: null,
};

class BenchState {
  settings = $state.raw<BenchSettings>(AS_THEY_COME);
  /** Why the file could not be used. */
  trouble = $state<string | null>(null);
  /** Why the desktop shows no notifications, once that was tried. */
  unheard = $state<string | null>(null);

  get goOn(): string {
    return keyWords(this.settings.goOnKey);
  }

  get away(): string {
    return keyWords(this.settings.awayKey);
  }

  isGoOn(event: KeyboardEvent): boolean {
    return isKey(event, this.settings.goOnKey);
  }

  isAway(event: KeyboardEvent): boolean {
    return isKey(event, this.settings.awayKey);
  }

  async load(): Promise<void> {
    try {
      const view = await benchSettings();
      this.settings = view.settings;
      this.trouble = view.trouble;
    } catch (thrown) {
      this.trouble = toTrouble(thrown).message;
    }
    this.apply();
  }

  /** Keeps some of it anew; what is wrong with it, if anything. */
  async change(some: Partial<BenchSettings>): Promise<Trouble | null> {
    const settings = { ...this.settings, ...some };
    try {
      await setBenchSettings(settings);
    } catch (thrown) {
      return toTrouble(thrown);
    }
    this.settings = settings;
    this.trouble = null;
    this.apply();
    return null;
  }

  apply(): void {
    const { theme, hundredMm } = this.settings;
    const root = document.documentElement;
    const dark = () => matchMedia('(prefers-color-scheme: dark)').matches;
    root.dataset.theme = theme === 'system' ? (dark() ? 'dark' : 'paper') : theme;
    root.style.setProperty('--mm', `${(hundredMm ?? HUNDRED_MM) / 100}px`);
    root.style.setProperty('--arms-length', String(armsLength(hundredMm)));
  }

  /** Reads the settings now, and follows the desktop from light to dark and back. */
  start(): () => void {
    void this.load();
    const light = matchMedia('(prefers-color-scheme: dark)');
    const follow = () => this.apply();
    light.addEventListener('change', follow);
    return () => light.removeEventListener('change', follow);
  }
}

export const bench = new BenchState();
