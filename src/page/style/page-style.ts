import { chartStyle } from './chart-style.js';
import { colours } from './colours.js';

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
