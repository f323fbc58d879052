export { enrolling, enrolPerson, renewCertificate, renewing, revokePerson } from './authority.js';
export { correcting, correctTest } from './correct-test.js';
export { systemOf } from './customer-units.js';
export { type Copied, copyOf } from './paper/copy.js';
export { certificateUnder, issuableTest, sealedTest, stands } from './paper/issuable.js';
export { draft, type Issued, issue, type PaperOptions } from './paper/issue.js';
export { certificateOf, papersFolder, reissueOf, replaceable } from './paper/papers-folder.js';
export { Press } from './paper/press.js';
export { demandFreePlace, waitingFile, waitingFiles } from './paper/put-file.js';
export { settleWaiting } from './paper/settle.js';
export {
  demandEntitled,
  type Entitlement,
  enrolledPerson,
  peopleHere,
  provenPerson,
  recordDeciders,
  unlocked,
} from './proven-person.js';
export { decideOnRecall, recallLines } from './recall.js';
export { signTest } from './sign-test.js';
export { testPage } from './test-page.js';
export { testPicture } from './test-picture.js';
export { voidRecord } from './void-record.js';
