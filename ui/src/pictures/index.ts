// Every drawing by its name. A name without a drawing fails the type check.

import type { PictureName } from '../lib/generated/types';
import * as blank from './blank';
import * as bond from './bond';
import type { Picture } from './draw';
import * as finish from './finish';
import * as guides from './guides';
import * as handle from './handle';
import * as heat from './heat';
import * as spine from './spine';
import * as thread from './thread';
import * as whole from './whole';

export const PICTURES: Record<PictureName, Picture> = {
  'pad-snags': blank.padSnags,
  'blank-loaded': blank.blankLoaded,
  'saw-through-tape': blank.sawThroughTape,
  'ferrule-closed': blank.ferruleClosed,
  'ferrule-dots': blank.ferruleDots,
  'scale-round-butt': spine.scaleRoundButt,
  'spine-trial': spine.spineTrial,
  'spine-mark': spine.spineMark,
  'ream-to-fit': bond.reamToFit,
  'bore-measured': bond.boreMeasured,
  'tape-at-front-edge': bond.tapeAtFrontEdge,
  'roughen-to-tape': bond.roughenToTape,
  'wipe-one-way': bond.wipeOneWay,
  'parts-on-scale': bond.partsOnScale,
  'pour-flat': bond.pourFlat,
  'grip-turned-home': bond.gripTurnedHome,
  'squeeze-out': bond.squeezeOut,
  'nail-test': bond.nailTest,
  'seat-against-grip': handle.seatAgainstGrip,
  'tape-bands': handle.tapeBands,
  'reel-foot-true': handle.reelFootTrue,
  'gun-off-sleeve': heat.gunOffSleeve,
  'heat-to-the-ends': heat.heatToTheEnds,
  'gun-in-stand': heat.gunInStand,
  'card-under-cut': heat.cardUnderCut,
  'keeper-side': handle.keeperSide,
  'ring-over-face': handle.ringOverFace,
  'rings-in-line': guides.ringsInLine,
  'rod-under-load': guides.rodUnderLoad,
  'line-clear': guides.lineClear,
  'foot-run-out': guides.footRunOut,
  'cotton-in-ring': guides.cottonInRing,
  'thread-start': thread.threadStart,
  'thread-up-foot': thread.threadUpFoot,
  'thread-loop': thread.threadLoop,
  'strip-in-air': finish.stripInAir,
  'rod-in-turner': finish.rodInTurner,
  'two-syringes': finish.twoSyringes,
  'finish-past-thread': finish.finishPastThread,
  'finish-levelled': finish.finishLevelled,
  'blade-flat': finish.bladeFlat,
  'tip-top-warmed': heat.tipTopWarmed,
  'rod-in-loop': whole.rodInLoop,
  'weight-in-cap': handle.weightInCap,
  'below-upright': whole.belowUpright,
  'off-power-lines': whole.offPowerLines,
};
