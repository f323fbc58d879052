// The program's wall clock goes back an hour once the program is 25 s old.
const RealDate = Date;
const begun = RealDate.now();
const back = () => (RealDate.now() - begun > 25_000 ? 3_600_000 : 0);
globalThis.Date = class extends RealDate {
  constructor(...given) {
    super(...(given.length === 0 ? [RealDate.now() - back()] : given));
  }
  static now() {
    return RealDate.now() - back();
  }
};
