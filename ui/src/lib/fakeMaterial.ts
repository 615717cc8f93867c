// The fake's material files: just enough of their reader to move the page. Everything in it is
// invented. Not part of the window.

import { refuse } from './fakeLedger';
import type { World } from './fakeWorld';
import type { MaterialDraft, Problem } from './generated/types';

const CODES: [string, string][] = [
  ['H225', 'Highly flammable liquid and vapour.'],
  ['H226', 'Flammable liquid and vapour.'],
  ['H315', 'Causes skin irritation.'],
  ['H319', 'Causes serious eye irritation.'],
  ['H336', 'May cause drowsiness or dizziness.'],
  ['H361', 'Suspected of damaging fertility or the unborn child.'],
  ['EUH066', 'Repeated exposure may cause skin dryness or cracking.'],
  ['skin-contact', 'Harmful on the skin.'],
  ['vapour', 'Vapour: harmful to breathe, may burn.'],
];

export function materialCommands(w: World): Record<string, (a: any) => unknown> {
  const titles = new Set(['acetone']);

  const save = (draft: MaterialDraft): Problem[] => {
    if (w.readOnly) throw refuse(w.readOnly, 'read-only');
    const id = draft.title.trim().toLowerCase().replace(/\W+/g, '-');
    if (!/[a-z0-9]/.test(id))
      throw refuse('Write what it is called, with letters or digits in it.', 'bad-input', 'title');
    if (titles.has(id))
      throw refuse('There is a material of this name. Choose another name.', 'bad-input', 'title');
    const found: Problem[] = [];
    const tell = (unusable: boolean, message: string, help: string, excerpt: string) =>
      found.push({
        path: `materials/${id}.toml`,
        unusable,
        code: 'checklist::fake',
        message,
        help,
        line: found.length + 6,
        column: 1,
        excerpt,
      });
    if (draft.caution.split(/\s+/).length > 32)
      tell(
        false,
        'The caution is long; it will not be read at arm’s length.',
        'Split it, or move part of it to the reason.',
        `caution = "${draft.caution}"`,
      );
    if (draft.density.trim() !== '' && !draft.density.includes('g/mL'))
      tell(
        true,
        `“${draft.density}” is not a figure with a unit known here.`,
        'Write for example 0.79 g/mL. If it is unknown, leave it out.',
        `density = "${draft.density}"`,
      );
    if (draft.components.length === 0)
      tell(
        true,
        'The material has no component.',
        'Add one for each line of section 3 of the sheet.',
        `id = "${id}"`,
      );
    if (!found.some((one) => one.unusable)) titles.add(id);
    return found;
  };

  return {
    hazard_codes: () => structuredClone(CODES),
    save_material: ({ draft }) => save(draft),
  };
}
