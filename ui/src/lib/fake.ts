// A carrier that answers from memory: for tests and for trying the screens in a plain browser.
// It is no second set of rules: it plays just enough of the shell to move the screens.
// Not part of the window.

import { airCommands } from './fakeAir';
import { benchCommands } from './fakeBench';
import { checklistCommands, newerOf } from './fakeChecklists';
import { layoutCommands } from './fakeLayout';
import { checkPin, entriesOf, healthOf, ledgerCommands, ORIGIN, refuse } from './fakeLedger';
import { lotCommands, lotsOf, lotView } from './fakeLots';
import { materialCommands } from './fakeMaterial';
import { paperCommands } from './fakePaper';
import { teachingCommands } from './fakeTeaching';
import { rodCommands } from './fakeRod';
import {
  drawingOf,
  benchList,
  heatList,
  iso,
  plainList,
  world,
  type FakeRod,
  type World,
} from './fakeWorld';
import { STAGES, type FakeStage } from './fakeSteps';
import type {
  AnswerDraft,
  AwayView,
  ClockView,
  Desk,
  DraftView,
  EntryView,
  Founding,
  ListView,
  NewerView,
  PartDrawn,
  PartWord,
  Place,
  RodDraft,
  RodView,
  StageLine,
  StationView,
  StepView,
  Trouble,
  WalkView,
} from './generated/types';
import type { Backend } from './ipc';

interface Run {
  station: string;
  at: number;
  witness: boolean;
  steps: StepView[];
  signed: (string | null)[];
  entries: EntryView[][];
  /** The file says something else now. */
  newer: NewerView | null;
  away: AwayView | null;
}

/** Lists that wait until an urgent one is done, by station. */
type SetAside = Map<string, ListView[]>;

/**
 * Scenes: `empty`, `fresh`, `normal` (default), `locked`, `full`; `damaged`: the ledger does not
 * hold; `unopened`: it can't even be opened; `lost`: nor is there a backup. Those of the air are in
 * `fakeAir.ts`. `newer` and `refused`: the file of the spine of r3 says something else now,
 * and leaves a step out.
 */
export function fakeBackend(scene = 'normal'): Backend & { world: World; calls: string[] } {
  const w = world(scene);
  if (w.rods.length > 0) w.lots = lotsOf(scene);
  const runs = new Map<string, Run>();
  const calls: string[] = [];
  const aside: SetAside = new Map();
  /** Stages left out by a lead: why, by rod and stage. */
  const leftOut = new Map<string, string>();
  let ids = 100;

  const found = <T>(thing: T | undefined, what: string): T => {
    if (thing === undefined) throw refuse(`There is no ${what} here.`);
    return thing;
  };
  const stageOf = (id: string): FakeStage =>
    found(
      STAGES.find((s) => s.id === id),
      'stage',
    );
  const rodOf = (id: string): FakeRod =>
    found(
      w.rods.find((r) => r.id === id),
      'rod',
    );
  const stationOf = (id: string): StationView =>
    found(
      w.stations.find((s) => s.id === id),
      'station',
    );
  const who = () => w.crew.find((p) => p.id === w.active)?.name ?? 'Ada Reeve';
  const air = airCommands(scene, w, stationOf, who);
  const begin = (rod: string, stage: string, station: string): Run => {
    const steps = structuredClone(stageOf(stage).steps);
    const run: Run = {
      station,
      at: 0,
      witness: false,
      steps,
      signed: steps.map(() => null),
      entries: steps.map(() => []),
      newer: null,
      away: null,
    };
    runs.set(`${rod} ${stage}`, run);
    return run;
  };
  const play = (rod: string, stage: string, signed: number) => {
    const run = begin(rod, stage, w.stations[0]?.id ?? '');
    for (let i = 0; i < Math.min(signed, run.steps.length); i += 1) {
      run.signed[i] = `Ada Reeve, yesterday ${10 + i}:12`;
      run.entries[i] = entriesOf(w, run.steps[i]!, run.signed[i]!);
    }
    run.at = Math.min(signed, run.steps.length);
  };
  const clock = (
    rod: string,
    stage: string,
    name: string,
    kind: ClockView['kind'],
    gone: number,
    minutes: number,
  ): ClockView => ({
    name,
    kind,
    started: iso(-gone),
    runsOut: iso(minutes - gone),
    stalled: null,
    minutes,
    over: gone >= minutes,
    rod,
    rodTitle: rodOf(rod).draft.title,
    stage,
  });

  // Where the invented rods stand.
  w.rods.forEach((rod, i) => {
    if (i % 3 !== 2) play(rod.id, 'spine', 9);
    if (i % 3 === 1) play(rod.id, 'rear-grip', 9);
    if (i % 3 === 1) play(rod.id, 'sleeve-by-heat', i % 2 ? 0 : 1);
    if (i % 3 === 0) {
      play(rod.id, 'rear-grip', i % 2 ? 1 : 3);
      const run = runs.get(`${rod.id} rear-grip`)!;
      const cure = clock(rod.id, 'rear-grip', 'Bond of the rear grip', 'cure', 600 + i * 9, 1440);
      run.steps[2]!.starts!.running = i % 2 ? null : cure;
      run.steps[3]!.waitsFor = i % 2 ? null : cure;
      if (i % 2)
        run.steps[1]!.starts!.running = clock(
          rod.id,
          'rear-grip',
          'Resin for the grip',
          'working-time',
          20 + i,
          45,
        );
    }
  });

  if (scene === 'full') {
    const crowd = runs.get('r1 spine')!.entries[0]!;
    for (let i = 0; i < 40; i += 1) {
      const words = `Note ${i + 1}: ${'a remark with many words that somebody wrote in a hurry '.repeat((i % 3) + 1)}`;
      const signed = `${w.crew[0]!.name}, yesterday 11:${10 + i}`;
      const corrections = i % 4 === 0 ? [`${words}. Reason: the wrong rod (${signed})`] : [];
      crowd.push({ origin: ORIGIN, number: (w.events += 1), words, said: '', signed, corrections });
    }
  }

  if (w.verified !== null) w.verified = w.events;

  const finished = (rod: string, stage: string) => {
    const run = runs.get(`${rod} ${stage}`);
    return Boolean(run && run.at >= run.steps.length);
  };
  const clocksOf = (rod: string, stage: string): ClockView[] => {
    const run = runs.get(`${rod} ${stage}`);
    const all = run?.steps.flatMap((s) => (s.starts?.running ? [s.starts.running] : [])) ?? [];
    return all.map((c) => ({ ...c, over: Date.parse(c.runsOut) <= Date.now() }));
  };
  /** What has to be done first; what is left out is replaced by what it needs itself. */
  const needsOf = (rod: string, stage: FakeStage): string[] =>
    stage.needs.flatMap((need) =>
      leftOut.has(`${rod} ${need}`)
        ? needsOf(rod, stageOf(need))
        : finished(rod, need)
          ? []
          : [need],
    );
  const standing = (rod: string, stage: FakeStage): StageLine['standing'] => {
    const run = runs.get(`${rod} ${stage.id}`);
    if (finished(rod, stage.id)) return 'done';
    if (leftOut.has(`${rod} ${stage.id}`)) return 'not-applicable';
    if (run)
      return clocksOf(rod, stage.id).some((c) => c.kind === 'cure' && !c.over)
        ? 'curing'
        : 'in-hand';
    return needsOf(rod, stage).length === 0 ? 'ready' : 'waits';
  };
  const drawing = (rod: FakeRod) => {
    const total = rod.drawing.lengthMm;
    const one = (kind: PartWord, label: string, from: number, to: number, d: number) => {
      const stage = STAGES.find((s) => s.part === kind);
      const at = stage ? standing(rod.id, stage) : 'waits';
      const drawn: PartDrawn =
        at === 'done' || at === 'curing' || at === 'in-hand' ? at : 'to-come';
      const running = stage ? (clocksOf(rod.id, stage.id).at(-1) ?? null) : null;
      return {
        kind,
        label,
        fromMm: from,
        toMm: to,
        diameterMm: d,
        drawn,
        stage: stage?.id ?? null,
        clock: drawn === 'done' ? null : running,
      };
    };
    const long =
      scene === 'full' ? ', with a description that goes on and on for quite a while' : '';
    return {
      ...rod.drawing,
      parts: [
        one('rear-grip', `composite core${long}`, 10, total * 0.16, 27),
        one('sleeve', `shrink sleeve, black${long}`, 14, total * 0.157, 30),
        one('reel-seat', `pipe seat, size 17${long}`, total * 0.165, total * 0.225, 24),
        one('fore-grip', `EVA, 60 mm${long}`, total * 0.23, total * 0.265, 22),
      ],
    };
  };
  const stages = (rod: FakeRod): StageLine[] =>
    STAGES.map((stage) => {
      const run = runs.get(`${rod.id} ${stage.id}`);
      const at = standing(rod.id, stage);
      const needs = needsOf(rod.id, stage);
      const first = needs[0];
      const why = leftOut.get(`${rod.id} ${stage.id}`);
      const words = why
        ? `Left out by a lead: ${why}`
        : at === 'waits' && first
          ? `Comes after: ${stageOf(first).title}.`
          : at === 'ready'
            ? 'Nothing stands in its way.'
            : '';
      // Until when: its own cure, or that of what it waits for.
      const waited = at === 'curing' ? stage.id : at === 'waits' ? first : undefined;
      const until = waited
        ? (clocksOf(rod.id, waited).find((c) => c.kind === 'cure' && !c.over)?.runsOut ?? null)
        : null;
      return {
        id: stage.id,
        title: stage.title,
        aim: stage.aim,
        standing: at,
        words,
        until,
        leftOut: why !== undefined,
        done: run?.at ?? 0,
        of: stage.steps.length,
        heat: stage.id === 'sleeve-by-heat',
      };
    });
  const look = (): Desk => ({
    workshop: w.founded
      ? {
          name: w.name,
          demo: w.demo,
          lengths: 'inch',
          units: w.units,
          demoPins: w.demo ? 'Ada Reeve 2468, Jon Tarn 1357' : null,
        }
      : null,
    folder: '/home/builder/Coldbench',
    health: healthOf(w),
    readOnly: w.readOnly,
    problems: w.problems,
    crew: w.crew,
    active: w.active,
    stations: w.stations.map(({ id, name, openUntil, clearance }) => ({
      id,
      name,
      openUntil,
      heatUntil: clearance?.live ? clearance.until : null,
      watchUntil: null,
    })),
    rods: w.rods
      .map((rod) => {
        const now = stages(rod).find((s) => s.standing === 'in-hand' || s.standing === 'ready');
        const wait = stages(rod).find((s) => s.standing === 'curing');
        return {
          id: rod.id,
          title: rod.draft.title,
          customer: rod.customer,
          drawing: drawing(rod),
          next: now
            ? `${now.title}, step ${now.done + 1} of ${now.of}.`
            : wait
              ? `${wait.title}: it cures.`
              : 'Nothing left.',
          canDoNow: Boolean(now),
          allDone: false,
        };
      })
      .sort((a, b) => Number(b.canDoNow) - Number(a.canDoNow)),
    clocks: w.rods
      .flatMap((rod) => STAGES.flatMap((stage) => clocksOf(rod.id, stage.id)))
      .sort((a, b) => a.runsOut.localeCompare(b.runsOut)),
    now: iso(),
    clockBehind: w.clockBehind,
  });

  const blocked = (step: StepView): Trouble | null => {
    if (step.caution && !step.understood)
      return refuse(
        'Read the caution first: it stands before the step for the one who does it.',
        'caution-not-read',
      );
    if (step.gate && !step.gate.open)
      return refuse(`No heat at Bench: ${step.gate.missing.join(' ')}`, 'no-clearance');
    if (step.record && !step.record.value) return refuse(`Measure first: ${step.record.name}.`);
    if (step.record && !step.record.within && !step.record.accepted)
      return refuse(
        `${step.record.name} is ${step.record.value}; it must be ${step.record.limits}. Measure again, or have a lead accept it with a reason.`,
        'outside-limits',
      );
    if (step.lot && !step.lot.named) return refuse(`Name the lot first: ${step.lot.material}.`);
    if (step.lot?.expired && !step.lot.accepted)
      return refuse(
        `${step.lot.expired} Take another, or have a lead accept it with a reason.`,
        'lot-expired',
      );
    if (step.starts && !step.starts.running)
      return refuse(`Start the clock first: ${step.starts.name}.`);
    if (step.waitsFor && Date.parse(step.waitsFor.runsOut) > Date.now())
      return refuse(`Wait: “${step.waitsFor.name}” runs.`, 'clock-running');
    return null;
  };
  const walk = (rodId: string, stageId: string): WalkView => {
    const rod = rodOf(rodId);
    const stage = stageOf(stageId);
    const run = runs.get(`${rodId} ${stageId}`);
    if (!run) throw refuse('This stage has not begun.');
    const raw = run.steps[run.at] ?? null;
    let step = raw && structuredClone(raw);
    if (step) {
      if (step.lot) step.lot = lotView(w, step.lot);
      if (step.gate) {
        const clearance = stationOf(run.station).clearance;
        const live = Boolean(clearance?.live);
        step.gate = {
          ...step.gate,
          open: live,
          clearance: clearance?.id ?? null,
          until: clearance?.until ?? null,
          missing: live ? [] : stationOf(run.station).heatMissing,
        };
      }
      step = { ...step, blocked: blocked(step), doneBy: run.witness ? 'Jon Tarn, 10:41' : null };
    }
    return {
      rod: rodId,
      rodTitle: rod.draft.title,
      stage: stageId,
      title: stage.title,
      aim: stage.aim,
      station: run.station,
      stationName: stationOf(run.station).name,
      drawing: drawing(rod),
      position: !step ? 'finished' : run.witness ? 'witness' : 'step',
      step,
      overview: run.steps.map((s, i) => ({
        id: s.id,
        what: s.what,
        signed: run.signed[i] ?? null,
        heat: s.gate !== null,
        leftOut:
          run.newer && s.id === 'mark' ? 'Only for rods with a butt cap; this one has none.' : null,
        figures: run.signed[i] ? s.figures : [],
        entries: run.signed[i] ? structuredClone(run.entries[i] ?? []) : [],
      })),
      clocks: clocksOf(rodId, stageId),
      gloves: null,
      newer: run.newer,
      away: run.away,
      teaching: null,
    };
  };
  const at = (place: Place): { run: Run; step: StepView } => {
    const run = runs.get(`${place.rod} ${place.stage}`);
    return {
      run: found(run, 'stage'),
      step: found(
        run?.steps.find((s) => s.id === place.step),
        'step',
      ),
    };
  };

  const checkDraft = (draft: RodDraft): DraftView => {
    const troubles: Trouble[] = [];
    if (!draft.title.trim())
      troubles.push(refuse('The title is missing. Write it in.', 'bad-input', 'title'));
    if (!draft.customer.trim())
      troubles.push(refuse('The customer is missing. Write it in.', 'bad-input', 'customer'));
    const length = parseFloat(draft.length);
    if (!(length > 0))
      troubles.push(
        refuse('The length can’t be read. Write it like 84 in.', 'bad-input', 'length'),
      );
    draft.diameters.forEach((row, i) => {
      if (!(parseFloat(row.diameter) > 0))
        troubles.push(
          refuse(
            'The diameter can’t be read. Write it like 0.61 in or 15.5 mm.',
            'bad-input',
            `diameters.${i}.diameter`,
          ),
        );
      if (!(parseFloat(row.fromButt) >= 0))
        troubles.push(
          refuse(
            'The place can’t be read. Write it like 12 in.',
            'bad-input',
            `diameters.${i}.fromButt`,
          ),
        );
    });
    const good = draft.diameters.every(
      (row) => parseFloat(row.diameter) > 0 && parseFloat(row.fromButt) >= 0,
    );
    if (!good || !(length > 0)) return { troubles, drawing: null };
    const mm = (text: string) => parseFloat(text) * 25.4;
    return {
      troubles,
      drawing: {
        ...drawingOf(
          mm(draft.length),
          draft.joins.map(mm).filter((x) => x > 0),
          15,
          2,
        ),
        outline: draft.diameters.map((row) => ({
          fromButtMm: mm(row.fromButt),
          diameterMm: mm(row.diameter),
          diameter: row.diameter,
        })),
        parts: draft.parts
          .filter((p) => mm(p.to) > mm(p.from) && mm(p.diameter) > 0)
          .map((p) => ({
            kind: p.kind,
            label: p.description,
            fromMm: mm(p.from),
            toMm: mm(p.to),
            diameterMm: mm(p.diameter),
            drawn: 'to-come',
            stage: null,
            clock: null,
          })),
      },
    };
  };
  const shown = (draft: AnswerDraft): string =>
    Object.entries(draft)
      .flatMap(([key, value]) =>
        key === 'form'
          ? []
          : [typeof value === 'object' ? `${value.length} containers` : String(value)],
      )
      .join(', ') || 'No meter at hand';
  const missing = (station: StationView) => {
    const list = station.inHand;
    if (list)
      list.missing = list.checks
        .filter((c) => !c.answered?.passes)
        .map((c) => (c.answered ? `This does not pass: ${c.ask}` : `No answer yet: ${c.ask}`));
  };

  /** A key is unlocked for a stage: with its last signature it locks. */
  const lockAtEnd = (run: Run) => {
    if (run.at >= run.steps.length) w.active = null;
  };
  const again = (pin: string | null) => {
    if (pin === null)
      throw refuse('This is a hold point: give your PIN again with it.', 'pin-again');
    checkPin(pin);
  };

  const { change: bend, ...layouts } = layoutCommands(scene, w);
  const commands: Record<string, (a: any) => unknown> = {
    ...layouts,
    ...air.commands,
    ...materialCommands(w),
    ...checklistCommands(scene, w),
    ...lotCommands(
      w,
      (place) => found(at(place).step.lot ?? undefined, 'lot'),
      (id) => rodOf(id).draft.title,
    ),
    ...ledgerCommands(w, () => [...runs.values()].flatMap((run) => run.entries.flat())),
    look,
    found: ({ founding: f }: { founding: Founding }) => {
      if (!/^\d{4,}$/.test(f.pin))
        throw refuse('A PIN has four digits or more.', 'bad-input', 'pin');
      const fresh = world('fresh');
      Object.assign(w, fresh, {
        founded: true,
        name: f.name,
        crew: [{ id: 'p1', name: f.lead, role: 'lead', present: true }],
      });
      w.stations = [{ ...fresh.stations[0]!, name: f.station, room: f.room || null }];
    },
    unlock: ({ person, pin }) => {
      checkPin(pin);
      w.active = person;
    },
    lock: () => void (w.active = null),
    quit: () => null,
    enlarge: () => null,
    add_person: ({ name, role }) =>
      void w.crew.push({ id: `p${++ids}`, name, role, present: true }),
    person_leaves: ({ person }) => void (w.crew.find((p) => p.id === person)!.present = false),
    add_station: ({ name, room, sharesRoomWith }) =>
      void w.stations.push({
        ...world('fresh').stations[0]!,
        id: `s${++ids}`,
        name,
        room: sharesRoomWith === null ? room || null : stationOf(sharesRoomWith).room,
      }),
    measure_room: ({ station, volume }) => {
      if (!/^\d+(\.\d+)? ?(m3|cu ft)$/.test(volume))
        throw refuse(
          `Room volume: “${volume}” is not a value with a unit known here.`,
          'bad-value',
        );
      stationOf(station).room = volume;
    },
    station: ({ station }) => air.whole(stationOf(station)),
    list_container: ({ station, name, autoignition }) =>
      void stationOf(station).containers.push({
        id: `c${++ids}`,
        name,
        autoignition: autoignition || null,
        open: false,
      }),
    open_container: ({ container }) =>
      w.stations.forEach((s) => s.containers.forEach((c) => c.id === container && (c.open = true))),
    close_container: ({ container }) =>
      w.stations.forEach((s) =>
        s.containers.forEach((c) => c.id === container && (c.open = false)),
      ),
    remove_container: ({ container }) =>
      w.stations.forEach((s) => (s.containers = s.containers.filter((c) => c.id !== container))),
    begin_list: ({ station, list }) => {
      const s = stationOf(station);
      const line = found(
        s.lists.find((one) => one.id === list),
        'list',
      );
      const waiting = aside.get(station) ?? [];
      const urgent = line.kind === 'spill' || line.kind === 'contact';
      if (urgent && s.inHand) waiting.push(s.inHand);
      aside.set(station, waiting);
      const made =
        line.kind === 'open-bench'
          ? benchList()
          : line.kind === 'heat-clearance'
            ? heatList()
            : plainList(line);
      s.inHand = { ...made, setAside: waiting.map((one) => one.title) };
      if (urgent && s.clearance?.live) {
        s.clearance = { ...s.clearance, live: false, ended: `Withdrawn: ${line.title}.` };
        s.heatMissing = ['The clearance was withdrawn. Clear the station anew.'];
      }
      missing(s);
    },
    answer: ({ station, check, answer: draft }) => {
      const s = stationOf(station);
      const text = shown(draft);
      if (text.trim() === '') throw refuse('The value is missing. Write it in.', 'bad-input');
      const passes = !/lying|without|no air/.test(text);
      s.inHand!.checks.find((c) => c.id === check)!.answered = {
        shown: `${text}.${passes ? '' : ' Needed: all in the metal bin.'}`,
        passes,
        stale: false,
        at: iso(),
        by: who(),
      };
      missing(s);
    },
    complete: ({ station, pin }) => {
      const s = stationOf(station);
      if (s.inHand!.missing.length > 0)
        throw refuse(`Not complete: ${s.inHand!.missing.join(' ')}`);
      if (s.inHand!.asksPin) again(pin);
      if (s.inHand!.kind === 'heat-clearance') {
        s.clearance = {
          id: 'HC-7',
          live: true,
          granted: iso(),
          until: iso(30),
          by: who(),
          watcher: 'Jon Tarn',
          gun: '140 °C',
          vapour: s.vapour,
          ended: null,
        };
        s.heatMissing = [];
      } else if (s.inHand!.kind === 'open-bench') s.openUntil = iso(720);
      else if (s.inHand!.kind === 'close-bench') s.openUntil = null;
      s.inHand = aside.get(station)?.pop() ?? null;
    },
    withdraw: ({ clearance }) =>
      w.stations.forEach((s) => {
        if (s.clearance?.id !== clearance) return;
        s.clearance = { ...s.clearance!, live: false, ended: 'Withdrawn a moment ago by hand.' };
        s.heatMissing = ['The clearance was withdrawn: stopped by hand. Clear the station anew.'];
      }),
    check_draft: ({ draft }) => checkDraft(draft),
    begin_rod: ({ draft }) => {
      const wrong = checkDraft(draft).troubles[0];
      if (wrong) throw wrong;
      const id = `r${++ids}`;
      w.rods.push({
        id,
        draft,
        begun: iso(),
        customer: draft.customer,
        drawing: checkDraft(draft).drawing!,
      });
      return id;
    },
    ...rodCommands(w, again, bend),
    rod: ({ rod }): RodView => {
      const { id, draft, begun } = rodOf(rod);
      return {
        ...draft,
        id,
        begun,
        diameters: draft.diameters.map((d) => [d.fromButt, d.diameter]),
        parts: draft.parts.map((part) => ({ ...part, bored: part.kind !== 'sleeve' })),
        assembly: null,
        revisions: rodOf(rod).revisions ?? [],
        drawing: drawing(rodOf(rod)),
        stages: stages(rodOf(rod)),
      };
    },
    begin_stage: ({ rod, stage, station }) => {
      const run = begin(rod, stage, station);
      if (scene === 'newer' || scene === 'refused') run.newer = newerOf(scene === 'refused');
    },
    leave_out_stage: ({ rod, stage, reason, pin }) => {
      checkPin(pin);
      if (reason.trim() === '')
        throw refuse('The reason is missing. Write it in.', 'bad-input', 'reason');
      leftOut.set(`${rod} ${stage}`, reason);
    },
    take_in_stage: ({ rod, stage }) => void leftOut.delete(`${rod} ${stage}`),
    move_stage: ({ rod, stage, pin }) => {
      checkPin(pin);
      found(runs.get(`${rod} ${stage}`), 'stage').newer = null;
    },
    walk: ({ rod, stage }) => walk(rod, stage),
    understand: ({ place }) => {
      const { run, step } = at(place);
      if (step.gate && !stationOf(run.station).clearance?.live)
        throw refuse('No heat at Bench: no clearance has been given.', 'no-clearance');
      step.understood = true;
    },
    measure: ({ place, text }) => {
      const value = parseFloat(text);
      if (Number.isNaN(value))
        throw refuse(
          `“${text}” is no value. Write it like ${at(place).step.record!.example}.`,
          'bad-input',
          'value',
        );
      const [low, high] = (at(place).step.record!.limits.match(/-?\d+(\.\d+)?/g) ?? []).map(Number);
      const within =
        high === undefined ? value <= (low ?? Infinity) : value >= (low ?? 0) && value <= high;
      Object.assign(at(place).step.record!, { value: text, within, accepted: null });
    },
    accept: ({ place, reason }) =>
      Object.assign(at(place).step.record!, { accepted: `${reason} (Ada Reeve)` }),
    start_clock: ({ place, minutes }) => {
      const starts = at(place).step.starts!;
      starts.running = clock(
        place.rod,
        place.stage,
        starts.name,
        starts.kind,
        0,
        minutes ?? starts.minutes,
      );
    },
    sign: ({ place, pin }) => {
      const { run, step } = at(place);
      const why = walk(place.rod, place.stage).step?.blocked;
      if (why) throw why;
      if (step.asksPin) again(pin);
      run.signed[run.at] = `${who()}, today ${new Date().toTimeString().slice(0, 5)}`;
      run.entries[run.at] = entriesOf(w, step, run.signed[run.at]!);
      if (run.steps[run.at]!.witness && !run.witness) run.witness = true;
      else run.at += 1;
      lockAtEnd(run);
    },
    witness: ({ place, pin }) => {
      checkPin(pin);
      const { run } = at(place);
      run.witness = false;
      run.at += 1;
      lockAtEnd(run);
    },
    call_away: ({ place }) => {
      const { run, step } = at(place);
      run.away = { by: who(), since: iso(0), step: step.id, number: step.number, clearance: null };
    },
    come_back: ({ place }) => void (at(place).run.away = null),
    note: ({ place, text }) => void at(place).step.notes.push(text),
    ...paperCommands(w.printers),
    ...benchCommands(),
    ...teachingCommands(w),
  };

  return {
    world: w,
    calls,
    async invoke(command, args) {
      calls.push(command);
      const work = commands[command];
      if (!work) throw `command ${command} not found`;
      return (await work(args ?? {})) ?? null;
    },
  };
}
