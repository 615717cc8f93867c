// What each screen is for, what to do next on it, and which keys work there: what F1 shows.

import type { RouteName } from '../shared/page.svelte';

/** What may be on the window beside the screens that have an address. */
export type Standing = 'first-run' | 'unopened' | 'damaged' | 'unlock';
export type Explainable = RouteName | Standing;

export interface Explanation {
  title: string;
  /** Whole sentences, two to six of each. */
  what: string[];
  next: string[];
  keys: string[];
}

const TAB = 'Tab goes on to the next field or button, Shift with Tab goes back.';
const ENTER = 'Enter presses the button that is framed; in a field it sends the form it is in.';
const PRESS = 'Enter follows the link or presses the button that is framed.';
const F1 = 'F1 shows this sheet, and Escape closes it.';

/** One for every screen: a route without a text here does not pass the type check. */
export const EXPLAINED: Record<Explainable, Explanation> = {
  rack: {
    title: 'The rack',
    what: [
      'All rods that are being built stand here, one under the other and drawn to one scale.',
      'The rods on which something can be done now come first.',
      'A part drawn solid is done, a hatched one cures, a dashed one is to come.',
      'The buttons above the rods lead to the air of each station, and say whether its bench is open.',
    ],
    next: [
      'Press New rod when an order comes in.',
      'For a rod that is there, press its title: its sheet shows what can be done.',
      'Or press a part in its drawing to go straight to that part’s stage.',
    ],
    keys: [TAB, PRESS, F1],
  },
  new: {
    title: 'A new rod',
    what: [
      'Here an order becomes a rod: who asked for it, what they asked, and the blank as you measured it.',
      'The figures in later steps are worked out from these measurements, so measure and do not guess.',
      'The drawing appears as soon as the length and two diameters are there.',
    ],
    next: [
      'Write the customer, a title and what is marked on the blank.',
      'Lay a rule along the blank: write its length, and its diameter at the butt, at the tip and wherever you can between.',
      'Add the parts you know already; the others may follow on the rod’s sheet.',
      'Then press Begin this rod.',
    ],
    keys: [
      TAB,
      ENTER,
      'In a field for a length, 5/8 in and 16.2 mm are both understood; a bare number is taken in the unit beside the field.',
      F1,
    ],
  },
  bench: {
    title: 'This bench',
    what: [
      'What suits this machine and this screen: how the screens look, which key goes on in a step, whether alarms are heard.',
      'It holds for whoever works here and for every workshop that is opened, and nothing of it is signed.',
    ],
    next: [
      'If you have a pedal, press its button here and then the pedal, so that its key is known.',
      'Lay a rule on the screen and set the line to 100 mm: then the words of a step are large enough for arm’s length.',
      'Choose Dark for a dim room, Sun where the sun is on the screen.',
    ],
    keys: [TAB, ENTER, F1],
  },
  rod: {
    title: 'The sheet of a rod',
    what: [
      'Everything about one rod is here: its drawing, its stages in the order of the build, what was measured, and its parts.',
      'The stages are sorted: what can be done now, what waits for time and until when, what comes later, what is done.',
      'A stage is a part of the build, such as bonding the rear grip, with steps that are signed one by one.',
    ],
    next: [
      'Press Begin at a stage under “Can be done now”, or Go on at one that is in hand.',
      'If the bench is not open yet, you are shown the way to the list that opens it.',
      'Put a measurement right here when you have a better one; the old one stays on record.',
      'When the rod is finished, press Print the build log.',
    ],
    keys: [TAB, PRESS, F1],
  },
  layout: {
    title: 'Bend and guides',
    what: [
      'Here you see how this rod bends under a load on its line, and where its guides stand.',
      'The curve, the loads and the clearance between line and blank follow while a guide is moved.',
      'They are figures from your measurements; a load test of the blank makes them better.',
    ],
    next: [
      'Space the guides, then move single ones where the line comes close to the blank.',
      'Before a tip or butt is sawn, look here what the cut would do.',
      'When it is good, write why and press Keep this layout: the log prints it.',
    ],
    keys: [
      TAB,
      'On a guide in the drawing, the right or up arrow moves it towards the tip, the left or down arrow towards the butt.',
      ENTER,
      F1,
    ],
  },
  walk: {
    title: 'The walk through a stage',
    what: [
      'One step at a time is shown, large enough to read at arm’s length.',
      'The caution comes before the step: what hurts, and what to do about it.',
      'Under the step stand its key point, the reason for it, and the figures for this rod.',
      'A clock that is started goes on even when the window is shut.',
    ],
    next: [
      'Read the caution and press that you have read it.',
      'Do the step, then enter what it asks for: a value, the lot of the material, the start of a clock.',
      'Sign. The next step comes by itself.',
      'Heat work says above the step what is still missing and leads you to Air.',
      'After an interruption come back here: it is the step you left.',
    ],
    keys: [
      'The space bar, or the key that This bench names, goes on: from the caution to the signature, never past what must be typed.',
      'For ten seconds after Done it takes back, and Enter signs at once.',
      'F8 says that you are called away, F9 reads the step aloud, if This bench names no other key.',
      TAB,
      'In a field, Enter records what you typed.',
      F1,
    ],
  },
  air: {
    title: 'Air: one station',
    what: [
      'It shows in one look whether heat may be used at this station, and what is missing if not.',
      'What was used, the last reading of the airflow and the curve of the vapour estimate are here.',
      'So are the lists: opening the bench, clearing it for heat, closing it, and those for when something went wrong.',
      'The estimate is no gas detector. Local codes, the safety data sheet and licensed practice come first.',
    ],
    next: [
      'Before the first resin of the day, begin “Open the bench” and answer its checks.',
      'Before heat, read the air, say what was used, and go through the clearance for heat.',
      'When something is spilled or splashed, press “Something went wrong at the bench”.',
      'After heat stay for the watch, and sign it when its time is over.',
    ],
    keys: [
      TAB,
      'Each check of a list brings you to its question; Tab goes to the first answer and Enter gives it.',
      ENTER,
      F1,
    ],
  },
  material: {
    title: 'Write down a material',
    what: [
      'A product gets into the estimate of the air by what its safety data sheet says.',
      'The form follows the sheet, section by section.',
      'What the sheet leaves out stays empty, and where that matters it means no heat after use.',
    ],
    next: [
      'Take the newest sheet of the very product in your hand, and copy sections 1, 2, 3, 8 and 9.',
      'Press the button at the end: what can’t be read is named at its field.',
      'After that the product stands among those that can be used, on the Air screen.',
    ],
    keys: [TAB, 'Enter in a field saves nothing here, so that no half sheet is kept.', F1],
  },
  crew: {
    title: 'Crew',
    what: [
      'These are the people who sign, the stations where work is done, and the units you read.',
      'A helper works, and some steps ask for a lead as witness.',
      'A lead works, witnesses, accepts a value outside its limits, and vouches for a new PIN.',
    ],
    next: [
      'Add each person who works here, and let them type their PIN themselves.',
      'Add a station for each place with work of its own, such as a heat corner.',
      'Somebody who stops working here leaves; what they signed stays.',
    ],
    keys: [TAB, ENTER, F1],
  },
  lots: {
    title: 'Lots',
    what: [
      'A lot is what was made in one go, such as one batch of resin.',
      'A lot that is registered can be named at a step with one press, and is held back after its last day.',
      'Should one turn out bad, you find every rod it went into.',
    ],
    next: [
      'Register each container when it comes in: what it is, what is printed on it, and its last day.',
      'Mark it used up when it is empty.',
      'To find the rods of a lot, type a part of what is on the container.',
    ],
    keys: [TAB, ENTER, F1],
  },
  checklists: {
    title: 'Checklists',
    what: [
      'All stages and station lists are texts that you may change; the products are too.',
      'Those that come with Coldbench stay as they are, and a file of your own takes the place of one.',
      'Stages in hand keep the text they were begun with.',
    ],
    next: [
      'Read a text, change what your shop does otherwise, and save it as your own.',
      'If a file has a fault, it is named with its line and how to mend it.',
      'Where your text takes a guard away, a lead signs a reason before anything is begun by it.',
    ],
    keys: [TAB, PRESS, 'While you edit, Ctrl with S saves.', F1],
  },
  ledger: {
    title: 'Ledger',
    what: [
      'Everything that is signed goes into the ledger, each event chained to the one before.',
      'This screen says whether it holds and where its backups go.',
      'It shows that nothing was changed later. It can’t show that what was entered is true.',
    ],
    next: [
      'Name a folder for backups, best on another disk.',
      'After that one is made by itself after each day that was worked.',
      'Should the ledger not hold, the way back is shown here.',
    ],
    keys: [TAB, ENTER, F1],
  },
  print: {
    title: 'Print',
    what: [
      'The build log is what the customer keeps: the rod, its materials, every step and who signed it.',
      'Every page is shown before it is printed.',
      'A copy in somebody else’s hands proves that these events existed when it was printed.',
    ],
    next: [
      'Look through the pages, then print them or save them as a file.',
      'Further down are single sheets: a stage to fill in by hand, a stage in large type, the rod’s sheet.',
    ],
    keys: ['The right and left arrows turn the pages.', TAB, ENTER, F1],
  },
  guide: {
    title: 'The guide',
    what: [
      'Two pages tell how the work goes here, from the blank to the hand-over.',
      'The first is about the order of the work, the second about heat, resin and the record.',
    ],
    next: [
      'Read the first page before your first rod, the second before your first heat.',
      'Go back to the rack when you have read enough; the guide stays at the foot of every screen.',
    ],
    keys: [TAB, PRESS, F1],
  },
  'first-run': {
    title: 'Set up the workshop',
    what: [
      'This folder is empty, so a new workshop is made in it.',
      'You become its lead: the one who may add others, and whose signature stands alone.',
      'Nothing leaves this machine.',
    ],
    next: [
      'Write the name of the workshop and your own, as they shall stand on the build log.',
      'Choose a PIN of four characters or more, and keep it in a sealed envelope: nobody can bring it back.',
      'The first station is called Bench unless you name it otherwise; the volume of its room may wait until heat is needed.',
      'Then press Set up the workshop.',
    ],
    keys: [TAB, ENTER, F1],
  },
  unopened: {
    title: 'This folder can’t be opened',
    what: [
      'The records of the workshop could not be read, and the screen says why.',
      'Nothing in the folder is changed by looking at it.',
    ],
    next: [
      'Read the sentence on the screen: it says how to mend it.',
      'If the ledger is damaged, press Look for a backup, and put the newest good one in its place.',
      'The damaged file is kept.',
    ],
    keys: [TAB, PRESS, F1],
  },
  damaged: {
    title: 'The ledger does not hold',
    what: [
      'Something in the records is not as it was signed.',
      'You can read and print everything, but nothing is signed on top of it and no heat is cleared.',
    ],
    next: [
      'Press Look for a backup.',
      'It is verified first; then you are asked whether it shall take the place of the damaged ledger.',
      'What was signed since that backup is lost from the ledger, though paper may tell of it.',
    ],
    keys: [TAB, PRESS, F1],
  },
  unlock: {
    title: 'Who is at the bench?',
    what: [
      'Whatever is signed carries a name, so a key has to be unlocked first.',
      'The key locks by itself when a stage is done or when it is left idle for 15 minutes.',
      'What you typed on the screen beneath is kept.',
    ],
    next: [
      'Pick your name, type your PIN and press Unlock.',
      'If you forgot your PIN, a lead gives you a new key under Crew.',
    ],
    keys: [TAB, ENTER, 'In the list of names, the arrows or the first letter pick one.', F1],
  },
};
