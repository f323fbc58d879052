export { judgementOf, judgeStored } from '../audit/index.js';
export {
  addToShop,
  demandNew,
  type GaugeEntry,
  type NewInstrument,
  type ProbeEntry,
  tableText,
} from './add-to-shop.js';
export { readCalibrationFile } from './calibration-file.js';
export { enteredCalibrations, withCalibrationInForce } from './calibration-in-force.js';
export { loadDriver } from './drivers.js';
export { HoldRun, type RunNews } from './hold-run.js';
export { announce, type HookEvent, hookTarget } from './hooks.js';
export { bareUnit, checkAnswer } from './job/check-answer.js';
export { type JobDraft, missingIn, planDraft, questionAt, startDraft, unasked, writeDraft } from './job/draft.js';
export { type JobFile, jobFiles, scanned, shopKnows } from './job/known.js';
export { ordersOfShop, readOrders, rowsOf } from './job/order-rows.js';
export { type Answers, type JobQuestion, jobQuestions, questionsFor } from './job/questions.js';
export { openGauge } from './live-gauge.js';
export { type CutOff, closeCutOff, cutOffTests, resumeLive } from './live-resume.js';
export { type LiveEnd, LiveRun } from './live-run.js';
export { type LiveStart, type StartedLive, sealedFor, startLive } from './live-start.js';
export { type Prepared, prepare } from './prepare.js';
export { recordFollower } from './record-follower.js';
export {
  findShop,
  findShopIfAny,
  instrumentOfShop,
  readShop,
  type Shop,
  type ShopGauge,
  type ShopProbe,
  shopFileName,
  shopSchema,
} from './shop.js';
export { shippedTemplates } from './templates.js';
export { testHeader } from './test-header.js';
export { softwareVersion } from './version.js';
