import { pageStyle } from '../page/index.js';

const bar = `
.bar{display:flex;flex-wrap:wrap;align-items:baseline;gap:.4rem 2rem;padding:.8rem 1.5rem;background:var(--sheet);border-bottom:1px solid var(--rule)}
.bar .shop span{margin-left:.4rem}
.bar nav ul{position:static;flex-direction:row;border:0;margin:0;padding:0;gap:.2rem 1.4rem;font-size:1rem}
.bar nav a{padding:.25rem .1rem;border-bottom:3px solid transparent}
.bar nav a[aria-current]{border-bottom-color:var(--accent);font-weight:650;color:var(--ink)}
.room,.wide-room{max-width:78rem;margin:0 auto;padding:1.2rem 1.5rem 4rem}.wide-room{max-width:none}
.told{padding:.7rem 1rem;border-left:8px solid;border-radius:4px;font-weight:600}
.told.good{background:var(--pass-soft);border-color:var(--pass)}.told.bad{background:var(--fail-soft);border-color:var(--fail)}
.none{color:var(--quiet)}
`;

const forms = `
form.ask{display:grid;gap:.7rem;max-width:34rem;margin:.8rem 0}
form.row{display:flex;flex-wrap:wrap;gap:.7rem 1rem;align-items:end}
label{display:grid;gap:.15rem;font-size:.9rem;color:var(--quiet)}label input,label select{color:var(--ink)}
label.tick{display:flex;gap:.5rem;align-items:baseline}
select{font:inherit;color:inherit;background:var(--sheet);border:1px solid var(--quiet);border-radius:4px;padding:.35rem .6rem;min-height:2.1rem;max-width:100%}
fieldset{border:1px solid var(--rule);border-radius:4px;padding:.6rem 1rem 1rem;margin:1rem 0}legend{font-weight:650;padding:0 .4rem}
button.grave{border-color:var(--fail);color:var(--fail)}
`;

const testRoom = `
.beside{display:grid;grid-template-columns:minmax(0,1fr);gap:1rem 2rem}
@media (min-width:75rem){.beside{grid-template-columns:22rem minmax(0,1fr)}.acts{position:sticky;top:1rem;align-self:start}}
.record{width:100%;height:min(88vh,70rem);border:1px solid var(--rule);border-radius:4px;background:var(--ground)}
.pair{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,34rem),1fr));gap:1.2rem}
.pair svg{width:100%;height:auto}
`;

/** Figures that can be read from five metres: a digit a tenth of the screen's width. */
const live = `
.live{display:grid;grid-template-columns:minmax(0,1fr);gap:1vh 2vw;padding:0 0 2vh}
.live .pressure{font-size:min(21vw,38vh);line-height:.95;font-weight:650;font-variant-numeric:tabular-nums;letter-spacing:-.03em;margin:0;white-space:nowrap}
.live .pressure span{font-size:.3em;font-weight:500;color:var(--quiet);margin-left:.15em;letter-spacing:0}
.live .phase{font-size:min(5vw,9vh);line-height:1.05;font-weight:650;margin:0}
.live .phase .left{color:var(--quiet);white-space:nowrap;margin-left:.4em}
.live .ask-now{font-size:min(3vw,5.4vh);line-height:1.2;margin:0}
.live .facts-now{display:flex;flex-wrap:wrap;gap:.3em 1.6em;font-size:min(2.2vw,4vh);margin:0;color:var(--quiet)}.live .facts-now b{color:var(--ink);font-weight:650}
.live .alarm{background:var(--fail);color:var(--ground);font-size:min(3.4vw,6vh);font-weight:700;padding:.25em .5em;margin:0}.live .alarm:empty{display:none}
.live svg{width:100%;height:18vh}.live polyline{fill:none;stroke:var(--pressure);stroke-width:2.5;vector-effect:non-scaling-stroke}.live .target-line{stroke:var(--target);stroke-dasharray:6 5;stroke-width:1.5;vector-effect:non-scaling-stroke}
.live[data-lost] .pressure{opacity:.35}
`;

/** The desk looks as the records do. */
export const deskStyle = [pageStyle, bar, forms, testRoom, live].join('');
