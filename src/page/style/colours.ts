/** Colours by what they mean; light, dark and print. Contrast of text is 4.5:1 or better in both. */
const light = `
--ground:#f5f4f0;--sheet:#fdfcfa;--ink:#18222b;--quiet:#55616c;--rule:#d3d0c7;--soft:#ebe8e0;
--accent:#0e5a75;--accent-ink:#ffffff;--focus:#b85c00;
--pass:#17663f;--fail:#a4231b;--inconclusive:#7d5200;--invalid:#5a4a8c;
--pass-soft:#e3f0e8;--fail-soft:#f8e4e1;--inconclusive-soft:#f7ecd4;--invalid-soft:#e9e5f4;
--pressure:#0b4a72;--opposite:#7b6f5f;--target:#18222b;--allowed:#b8470b;--overpressure:#86204f;
--fit:#0a7d86;--band:rgba(10,125,134,.22);--settling:rgba(110,116,124,.12);--dwell:rgba(14,90,117,.13);--grid:#e2dfd7;--mark:#5a4a8c;
`;

const dark = `
--ground:#11171c;--sheet:#182027;--ink:#e5e9ec;--quiet:#a3afb9;--rule:#34404a;--soft:#212b33;
--accent:#6cc3de;--accent-ink:#0c1519;--focus:#ffb45c;
--pass:#6fd19c;--fail:#ff9a8f;--inconclusive:#f0c05e;--invalid:#bcaef0;
--pass-soft:#173226;--fail-soft:#3b1f1d;--inconclusive-soft:#352a13;--invalid-soft:#2a2540;
--pressure:#93b7ff;--opposite:#b8a88f;--target:#e5e9ec;--allowed:#ff9f5a;--overpressure:#f28abf;
--fit:#5fe0d8;--band:rgba(95,224,216,.2);--settling:rgba(163,175,185,.13);--dwell:rgba(108,195,222,.15);--grid:#2a343c;--mark:#bcaef0;
`;

export const colours = `:root{color-scheme:light dark;${light}}
@media (prefers-color-scheme:dark){:root{${dark}}}
@media print{:root{color-scheme:light;${light}--ground:#fff;--sheet:#fff}}
`;
