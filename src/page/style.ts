/** The chart, drawn or live, its key and its controls. The rules for `u-` are what the drawing library needs. */
export const chartStyle = `
.chart{background:var(--sheet);border:1px solid var(--rule);border-radius:4px;padding:.75rem .9rem .6rem}
.chart figure{margin:0}
svg.trace{display:block;width:100%;height:auto}
.grid{stroke:var(--grid);stroke-width:1;fill:none}
.tick{font-size:12px;fill:var(--quiet);font-variant-numeric:tabular-nums}
.name{font-size:12.5px;fill:var(--ink);font-weight:600}
.span{stroke:var(--rule);fill:none}
.pressure,.opposite,.target,.allowed,.overpressure,.fit{fill:none;stroke-linejoin:round}
.pressure{stroke:var(--pressure);stroke-width:1.6}
.opposite{stroke:var(--opposite);stroke-width:1.4;stroke-dasharray:2 3}
.target{stroke:var(--target);stroke-width:1.2;stroke-dasharray:8 4}
.allowed{stroke:var(--allowed);stroke-width:1.6;stroke-dasharray:9 3 2 3}
.overpressure{stroke:var(--overpressure);stroke-width:1.4;stroke-dasharray:14 4}
.fit{stroke:var(--fit);stroke-width:2}
rect.band{fill:var(--band)}rect.settling{fill:var(--settling)}rect.dwell{fill:var(--dwell)}
.event{stroke:var(--quiet);stroke-width:1.4}.event.warn,.event.alarm,.event.void{stroke:var(--fail);stroke-width:2.4}
.mark{stroke:var(--mark);stroke-width:1;stroke-dasharray:3 3}
.key{list-style:none;display:flex;flex-wrap:wrap;gap:.3rem 1.1rem;padding:0;margin:.5rem 0 0;font-size:.85rem;color:var(--quiet)}
.key li{display:flex;align-items:center;gap:.4rem}.key svg{width:26px;height:10px;overflow:visible}
.views{display:flex;flex-wrap:wrap;gap:.4rem;margin:0 0 .6rem}
.views .steps{display:flex;gap:.4rem;margin-left:auto}
.live{position:relative;border-radius:3px;touch-action:pan-y}
.live:focus-visible{outline:3px solid var(--focus);outline-offset:3px}
.readout{min-height:1.5em;margin:.25rem 0 0;font-size:.9rem;font-variant-numeric:tabular-nums;display:flex;flex-wrap:wrap;gap:0 1.2rem}
.readout strong{font-weight:600}
.state{margin:.15rem 0 0;font-size:.82rem;color:var(--quiet)}
.uplot,.uplot *,.uplot *::before,.uplot *::after{box-sizing:border-box}
.uplot{width:min-content;line-height:1.5}
.u-wrap{position:relative;user-select:none}
.u-over,.u-under{position:absolute}.u-under{overflow:hidden}.u-over{cursor:crosshair}
.uplot canvas{display:block;position:relative;width:100%;height:100%}
.u-axis{position:absolute}
.u-select{background:var(--dwell);outline:1px solid var(--accent);position:absolute;pointer-events:none}
.u-cursor-x,.u-cursor-y{position:absolute;left:0;top:0;pointer-events:none;will-change:transform}
.u-hz .u-cursor-x,.u-vt .u-cursor-y{height:100%;border-right:1px dashed var(--quiet)}
.u-hz .u-cursor-y,.u-vt .u-cursor-x{width:100%;border-bottom:1px dashed var(--quiet)}
.u-cursor-pt{position:absolute;top:0;left:0;border-radius:50%;border:0 solid;pointer-events:none;will-change:transform;background-clip:padding-box!important}
.u-axis.u-off,.u-select.u-off,.u-cursor-x.u-off,.u-cursor-y.u-off,.u-cursor-pt.u-off{display:none}
`;

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

const ground = `
*{box-sizing:border-box}
html{scroll-behavior:smooth;scroll-padding-top:1rem;-webkit-text-size-adjust:100%}
@media (prefers-reduced-motion:reduce){html{scroll-behavior:auto}}
body{margin:0;background:var(--ground);color:var(--ink);font:16px/1.5 "IBM Plex Sans",ui-sans-serif,system-ui,"Segoe UI",Roboto,"Noto Sans","Liberation Sans",sans-serif;overflow-wrap:break-word}
a{color:var(--accent)}
:focus-visible{outline:3px solid var(--focus);outline-offset:2px}
.skip{position:absolute;left:-9999px;top:0;background:var(--accent);color:var(--accent-ink);padding:.6rem 1rem;z-index:2}
.skip:focus{left:0}
.page{max-width:74rem;margin:0 auto;padding:0 1.5rem 3rem;display:grid;grid-template-columns:minmax(0,1fr);gap:0 2.5rem}
h1{font-size:1.9rem;line-height:1.15;margin:.2rem 0 .3rem;letter-spacing:-.015em}
h2{font-size:1.15rem;margin:0 0 .9rem;padding-top:.7rem;border-top:3px solid var(--ink);letter-spacing:.005em}
h3{font-size:.95rem;margin:1.2rem 0 .4rem}
section{margin:2.6rem 0 0}
p{margin:.4rem 0}
.small{font-size:.86rem;color:var(--quiet)}
code,.hashes dd,pre{font-family:ui-monospace,"IBM Plex Mono","Cascadia Mono",Menlo,Consolas,"Liberation Mono",monospace;font-size:.88em}
.hashes dd{overflow-wrap:anywhere}
.masthead{padding:2rem 0 .4rem}
.shop{margin:0;color:var(--quiet)}.shop strong{color:var(--ink);margin-right:.8rem}
.subject{color:var(--quiet);margin:0}
.notice{background:var(--inconclusive-soft);border-left:4px solid var(--inconclusive);padding:.5rem .8rem;margin:.8rem 0 0;font-weight:600}
nav ul{list-style:none;padding:0;margin:.8rem 0 0;display:flex;flex-wrap:wrap;gap:.25rem 1.1rem;font-size:.9rem}
nav a{display:inline-block;padding:.15rem 0;text-decoration:none}nav a:hover{text-decoration:underline}
footer{border-top:1px solid var(--rule);margin-top:3rem;padding-top:.8rem;font-size:.86rem;color:var(--quiet)}
@media (min-width:75rem){.page{grid-template-columns:12rem minmax(0,1fr);max-width:90rem}
.masthead,footer{grid-column:2}nav{grid-column:1;grid-row:2}main{grid-column:2}
nav ul{position:sticky;top:1.2rem;flex-direction:column;gap:.15rem;border-left:1px solid var(--rule);padding-left:1rem;margin-top:2.8rem}
main>section:first-child{margin-top:1.6rem}}
`;

const verdicts = `
.verdict{display:inline-flex;align-items:center;gap:.3em;font-weight:700;white-space:nowrap}
.verdict svg{width:1.25em;height:1.25em;fill:none;stroke:currentColor;stroke-width:2.6;stroke-linecap:round;stroke-linejoin:round;flex:none}
.verdict.pass{color:var(--pass)}.verdict.fail{color:var(--fail)}.verdict.inconclusive{color:var(--inconclusive)}.verdict.invalid{color:var(--invalid)}
.finding{padding:1.1rem 1.3rem;border-radius:4px;border-left:8px solid;background:var(--sheet)}
.finding.pass{background:var(--pass-soft);border-color:var(--pass)}.finding.fail{background:var(--fail-soft);border-color:var(--fail)}
.finding.inconclusive{background:var(--inconclusive-soft);border-color:var(--inconclusive)}.finding.invalid{background:var(--invalid-soft);border-color:var(--invalid)}
.finding .word{font-size:2.1rem;line-height:1.1;margin:0}.finding .sentence{font-size:1.05rem;margin:.3rem 0 .7rem}
.ports{list-style:none;margin:0;padding:0}
.ports li{display:grid;grid-template-columns:max-content max-content minmax(0,1fr);gap:0 .9rem;padding:.35rem 0;border-top:1px solid var(--rule)}
@media (max-width:40rem){.ports li{grid-template-columns:max-content 1fr}.ports li>span:last-child{grid-column:1/-1}}
`;

const facts = `
.columns{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,24rem),1fr));gap:0 2.5rem;margin-top:.6rem}
.facts{margin:0}.facts>div{display:grid;grid-template-columns:9.5rem minmax(0,1fr);gap:0 1rem;padding:.32rem 0;border-top:1px solid var(--rule)}
dt{color:var(--quiet)}dd{margin:0}
@media (max-width:34rem){.facts>div{grid-template-columns:minmax(0,1fr)}dt{font-size:.86rem}}
.scroll{overflow-x:auto;margin:.4rem 0 1rem;border-radius:3px}
table{border-collapse:collapse;width:100%;background:var(--sheet);border:1px solid var(--rule)}
caption{text-align:left;font-weight:600;padding:.2rem 0 .5rem;color:var(--ink)}
.figures caption{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
th,td{text-align:left;vertical-align:top;padding:.4rem .7rem;border-top:1px solid var(--rule);font-weight:400}
thead th,thead td{border-top:0;background:var(--soft);font-weight:600;font-size:.9rem;vertical-align:bottom}
thead span,td span,th span{color:var(--quiet);font-weight:400;font-size:.88em}td .verdict,td .verdict *{color:inherit;font-size:inherit}
td .verdict.pass{color:var(--pass)}td .verdict.fail{color:var(--fail)}td .verdict.inconclusive{color:var(--inconclusive)}td .verdict.invalid{color:var(--invalid)}td .verdict{font-weight:700;font-size:1em}
.figure{font-variant-numeric:tabular-nums;white-space:nowrap}.figures .figure{text-align:right}.figures thead th{text-align:right}.figures td{text-align:right}.figures .unit{text-align:left;color:var(--quiet)}
.wide{min-width:14rem}
.strong th,.strong td{font-weight:650}.strong td span.pm{color:inherit}
.grade-alarm td,.grade-void td{background:var(--fail-soft)}.grade-warn td{background:var(--inconclusive-soft)}
.share{min-width:8rem}.share svg{width:5rem;height:8px;margin-right:.5rem}.share .ground{fill:var(--soft)}.share .bar{fill:var(--accent)}
.expanded{font-weight:600;margin:-.4rem 0 1.6rem}
.remarks{padding-left:1.2rem;margin:.3rem 0}.remarks li{margin:.25rem 0}
details{margin:.8rem 0}summary{cursor:pointer;color:var(--accent);font-weight:600;padding:.2rem 0}
pre{background:var(--sheet);border:1px solid var(--rule);padding:.8rem 1rem;overflow-x:auto;white-space:pre;margin:.3rem 0;max-height:28rem}
`;

const controls = `
button,input{font:inherit;color:inherit}
button{background:var(--sheet);border:1px solid var(--quiet);border-radius:4px;padding:.3rem .75rem;min-height:2.1rem;cursor:pointer}
button:hover{border-color:var(--accent);color:var(--accent)}button[aria-pressed=true]{background:var(--accent);border-color:var(--accent);color:var(--accent-ink)}
button:disabled{opacity:.55;cursor:default}
button.main{background:var(--accent);color:var(--accent-ink);border-color:var(--accent);font-weight:650;padding:.6rem 1.3rem;font-size:1.05rem}
button.main:hover{color:var(--accent-ink);filter:brightness(1.08)}
input{background:var(--sheet);border:1px solid var(--quiet);border-radius:4px;padding:.35rem .6rem;max-width:100%}
progress{width:16rem;max-width:60%;height:.8rem;accent-color:var(--accent);vertical-align:middle}
.outcome{padding:.9rem 1.2rem;border-left:8px solid;border-radius:4px;margin:.8rem 0}
.outcome.plain{border-color:var(--quiet)}.outcome.bad{background:var(--fail-soft);border-color:var(--fail)}
.outcome h3{margin:.9rem 0 .2rem}.outcome ul{margin:.2rem 0;padding-left:1.2rem}.outcome>.verdict{font-size:1.25rem;white-space:normal}
`;

const paper = `
@media print{@page{margin:14mm}body{font-size:9.5pt;line-height:1.35}nav,.skip,#chart-live,#check-live,.trace-table,.views,noscript{display:none!important}
#chart-still{display:block!important}.page{display:block;max-width:none;padding:0}section{margin-top:1.2rem;break-inside:auto}h1{font-size:18pt}
h2,h3,caption{break-after:avoid}tr,.finding,.facts>div,.chart{break-inside:avoid}.scroll{overflow:visible}table{font-size:8.5pt}th,td{padding:.2rem .4rem}.wide{min-width:0}
pre{max-height:none;white-space:pre-wrap}.figure{white-space:normal}a{color:inherit;text-decoration:none}
.finding,.notice,rect,.share .bar,.share .ground,thead th{print-color-adjust:exact;-webkit-print-color-adjust:exact}}
`;

/** The look of a page: light and dark by what the reader's computer prefers, and on paper. */
export const pageStyle = [colours, ground, verdicts, facts, controls, chartStyle, paper].join('');
