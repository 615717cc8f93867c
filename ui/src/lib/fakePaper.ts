// The fake's printing: just enough of it to move the screens. Everything in it is invented. Not part
// of the window.

import { refuse } from './fakeLedger';
import type { JobView, PreviewView, Printable, PrintedView } from './generated/types';

const PAGES = 4;

function preview(
  what: string,
  { paper, page: asked }: { paper: string; page: number },
): PreviewView {
  const page = Math.min(Math.max(asked, 1), PAGES);
  const [width, height] = paper === 'a4' ? [595.28, 841.89] : [612, 792];
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" width="${width}pt" height="${height}pt"><path d="M20 20H500V700H20Z" fill="none" stroke="rgb(20,35,60)"/><text x="40" y="60" font-size="20">${what}, page ${page}</text></svg>`;
  return { svg, page, pages: PAGES };
}

const FOLDER = '/home/builder/Documents';

/** The job waits twice, then it is printed. */
export function paperCommands(printers: string[]) {
  let asked = 0;
  const targets = (file: string) => ({
    folder: FOLDER,
    file,
    printers,
    printerWord: printers.length > 0 ? null : 'This machine knows no printer.',
  });
  const job = (): JobView => {
    const done = asked > 2;
    const words = done
      ? 'Printed, as far as the print system knows.'
      : 'Waits: the printer is out of paper.';
    return { job: 'bench-1', done, words };
  };
  const print = ({ printer, copies }: { printer: string; copies: number }): PrintedView => {
    if (copies < 1 || copies > 20)
      throw refuse('Print 1 to 20 copies at once.', 'bad-input', 'copies');
    asked = 1;
    return { path: '', words: `Sent to ${printer}, job bench-1.`, job: job() };
  };
  const save = ({ path }: { path: string }): PrintedView => ({
    path,
    words: `Saved as ${path}.`,
    job: null,
  });
  return {
    print_targets: ({ what }: { what: Printable }) =>
      targets(`${Object.values(what).filter(Boolean).join('-')}.pdf`),
    save_folder: () => FOLDER,
    preview_pages: ({ what, ...args }: { what: Printable; paper: string; page: number }) =>
      preview(Object.values(what).filter(Boolean).join(' '), args),
    save_pages: save,
    save_table: save,
    open_folder: () => {
      throw refuse('No file manager opens here.', 'no-file-manager');
    },
    print_pages: print,
    print_job: (): JobView => {
      asked += 1;
      return job();
    },
  };
}
