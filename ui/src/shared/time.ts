// Spans and times of day in words. Pure: the present moment comes in as an argument.

const SECOND = 1000;
const MINUTE = 60 * SECOND;
const HOUR = 60 * MINUTE;
const DAY = 24 * HOUR;

const two = (n: number) => String(n).padStart(2, '0');

/** A span in words: `45 s`, `12 min 05 s`, `3 h 05 min`, `1 day 3 h`. Never below `0 s`. */
export function span(ms: number): string {
  // Rounded up, so that `0 s` is never shown while something still runs.
  const whole = Math.max(0, Math.ceil(ms / SECOND)) * SECOND;
  const days = Math.floor(whole / DAY);
  const hours = Math.floor((whole % DAY) / HOUR);
  const minutes = Math.floor((whole % HOUR) / MINUTE);
  const seconds = Math.floor((whole % MINUTE) / SECOND);
  if (days > 0) return `${days} ${days === 1 ? 'day' : 'days'} ${hours} h`;
  if (hours > 0) return `${hours} h ${two(minutes)} min`;
  if (minutes > 0) return `${minutes} min ${two(seconds)} s`;
  return `${seconds} s`;
}

/** A number of minutes in words: `45 min`, `24 h`, `1 h 30 min`. */
export function minutesWords(minutes: number): string {
  const hours = Math.floor(minutes / 60);
  const rest = minutes % 60;
  if (hours === 0) return `${rest} min`;
  return rest === 0 ? `${hours} h` : `${hours} h ${rest} min`;
}

const WEEKDAYS = ['Sun', 'Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat'];
const MONTHS = 'Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec'.split(' ');

/** The local time of day, with the day in front where it is not today: `tomorrow 09:10`. */
export function timeOfDay(iso: string, nowMs: number): string {
  const at = new Date(iso);
  const now = new Date(nowMs);
  const clock = `${two(at.getHours())}:${two(at.getMinutes())}`;
  const day = (d: Date) => new Date(d.getFullYear(), d.getMonth(), d.getDate()).getTime();
  const days = Math.round((day(at) - day(now)) / DAY);
  if (days === 0) return clock;
  if (days === 1) return `tomorrow ${clock}`;
  if (days === -1) return `yesterday ${clock}`;
  return `${WEEKDAYS[at.getDay()]} ${at.getDate()} ${MONTHS[at.getMonth()]} ${clock}`;
}

/** Day and time as they are written into a field: `2026-11-26 14:05`. */
export function written(at: Date): string {
  const day = `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}`;
  return `${day} ${two(at.getHours())}:${two(at.getMinutes())}`;
}

/** A local date: `26 Nov 2026`. */
export function dateWords(iso: string): string {
  const at = new Date(iso);
  return `${at.getDate()} ${MONTHS[at.getMonth()]} ${at.getFullYear()}`;
}
