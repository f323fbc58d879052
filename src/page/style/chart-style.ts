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
