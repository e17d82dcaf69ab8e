import { paletteProperties, palettes } from '../palette.js';
import { plotStyle } from '../plot/plot-style.js';

const light = paletteProperties(palettes.light);
const dark = paletteProperties(palettes.dark);
const night = paletteProperties(palettes.night);

/** Style sheet of the page. Palettes switch by the radio buttons at the top, without JavaScript; print is always light. */
export const pageStyle = `
:root{${light}color-scheme:light}
@media (prefers-color-scheme:dark){:root:has(#palette-auto:checked){${dark}color-scheme:dark}}
@media screen{:root:has(#palette-dark:checked){${dark}color-scheme:dark}:root:has(#palette-night:checked){${night}color-scheme:dark;accent-color:#b00000}}
*{box-sizing:border-box}
html{scroll-padding-top:1rem;scrollbar-color:var(--line) var(--paper);-webkit-text-size-adjust:100%}
body{margin:0;background:var(--paper);color:var(--ink);font:15px/1.5 ui-sans-serif,'Helvetica Neue','Liberation Sans',Arial,sans-serif;font-variant-numeric:tabular-nums}
header,main,footer{max-width:1480px;margin:0 auto;padding:0 clamp(.75rem,3vw,2.5rem)}
header{display:flex;flex-wrap:wrap;gap:.6rem 2rem;align-items:end;justify-content:space-between;padding-top:1.6rem}
h1,h2,.headline{font-family:ui-serif,Charter,'Iowan Old Style',Georgia,'Liberation Serif',serif;font-weight:500;letter-spacing:-.005em}
h1{font-size:1.15rem;margin:0;color:var(--soft)}
h1 b{color:var(--ink);font-weight:600}
h2{font-size:1.35rem;margin:0 0 .9rem}
h3{font-size:1rem;margin:1rem 0 .3rem}
.headline{font-size:clamp(1.9rem,5.4vw,3.1rem);line-height:1.12;margin:.3rem 0 1rem}
section{margin:1.1rem 0;padding:1.3rem clamp(.8rem,2vw,1.6rem) 1.4rem;background:var(--raised);border:1px solid var(--line);border-radius:3px}
#verdict{background:none;border:0;padding:.4rem 0 .2rem;margin-top:.4rem}
#verdict h2{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
a{color:var(--accent);text-decoration-thickness:1px;text-underline-offset:2px}
a:focus-visible,button:focus-visible,input:focus-visible,.palettes input:focus-visible,select:focus-visible,summary:focus-visible,[tabindex]:focus-visible{outline:2px solid var(--alert);outline-offset:2px}
fieldset.palettes{border:0;margin:0;padding:0;display:flex;flex-wrap:wrap;gap:.2rem 1rem;font-size:.85rem;color:var(--soft)}
fieldset.palettes legend{float:left;margin-right:1rem;padding:0}
.palettes label{display:inline-flex;align-items:center;gap:.3rem}.palettes input{appearance:none;min-height:0;width:1em;height:1em;margin:0;padding:0;border:1px solid var(--soft);border-radius:50%;background:var(--paper)}.palettes input:checked{background:var(--ink);box-shadow:inset 0 0 0 3px var(--paper)}
nav{font-size:.9rem;display:flex;flex-wrap:wrap;gap:.15rem 1.1rem;padding:.5rem 0 0}
.plain,.why{padding-left:1.1rem;margin:.4rem 0;max-width:78ch}
.quiet,.caption,figcaption,caption{color:var(--soft)}
.small{font-size:.85rem}
.caption,figcaption{font-size:.87rem;max-width:96ch;margin:.5rem 0 0}
.plot{display:block;width:100%;height:auto;overflow:visible}
${plotStyle}
.defs{position:absolute;width:0;height:0}
.strip{margin:0 0 .9rem}
.strip .plot{height:54px}
.up{fill:var(--accent)}
.down{fill:var(--raised);stroke:var(--alert);stroke-width:1.2;vector-effect:non-scaling-stroke}
.tally{display:flex;flex-wrap:wrap;gap:.2rem 1.4rem;align-items:baseline}
.tally p{margin:0}.tally ul{display:flex;flex-wrap:wrap;gap:.2rem 1.4rem;list-style:none;margin:0;padding:0}
.narrow{display:none}
.legend{display:flex;flex-wrap:wrap;gap:.2rem 1.3rem;list-style:none;padding:0;margin:0 0 .7rem;font-size:.87rem}
.legend li{display:flex;align-items:center;gap:.45rem;overflow-wrap:anywhere}
.swatch{width:15px;height:15px;flex:none}
.findings{list-style:none;margin:0;padding:0;columns:25rem 3;column-gap:2.2rem}
.finding{border-top:2px solid var(--ink);padding:.5rem 0 1.1rem;break-inside:avoid}
.finding h3{margin:0;font-size:1.08rem}
.sure{display:flex;align-items:center;gap:.7rem;margin:.2rem 0 .5rem;color:var(--soft);font-size:.9rem}
.gauge{width:100px;height:12px;flex:none}
.gauge .full{fill:var(--accent)}.gauge .empty{fill:var(--line)}
.advice{max-width:64ch;margin:.3rem 0 .7rem;white-space:pre-line}
.links{font-size:.85rem;overflow-wrap:anywhere;line-height:1.8}
details{margin:.5rem 0}
summary{cursor:pointer;width:fit-content;max-width:100%}
.behind>summary,.others>summary,.finding summary{color:var(--soft);font-size:.87rem}
.others dt,.glossary dt{font-weight:600;margin-top:.4rem}
.others dd,.glossary dd{margin:0 0 0 0;max-width:84ch}
.tablebox{overflow:auto;max-width:100%}
.tablebox.tall{max-height:min(78vh,46rem);border:1px solid var(--line);background:linear-gradient(to left,var(--raised) 40%,transparent) right/44px 100% no-repeat local,linear-gradient(to left,var(--line),transparent) right/18px 100% no-repeat scroll}
table{border-collapse:collapse;font-size:.87rem;width:100%}
caption{text-align:left;padding:.3rem .6rem;font-size:.87rem}
th,td{padding:.24rem .6rem;text-align:left;vertical-align:top;border-bottom:1px solid var(--grid)}
th{font-weight:600}
tbody th{font-weight:400}
.n{text-align:right;white-space:nowrap}
.behind td{text-align:right}.behind thead th:not(:first-child){text-align:right}
.subs thead th{vertical-align:middle;position:sticky;top:0;background:var(--raised);z-index:2;box-shadow:0 1px 0 var(--line);white-space:nowrap}
.subs tbody th{position:sticky;left:0;background:var(--raised);z-index:1;white-space:nowrap;max-width:15rem;overflow:hidden;text-overflow:ellipsis}
.subs thead th:first-child{left:0;z-index:3}
.subs td:nth-child(2),.subs td:nth-child(4),.subs td:nth-child(5){white-space:nowrap}
.subs td:nth-child(3){min-width:13rem}
.subs tr.hot td,.subs tr.hot th{background:var(--grid)}
.subs button{font:inherit;font-weight:600;color:inherit;background:none;border:0;padding:0;cursor:pointer}
.subs th[aria-sort=ascending] button::after{content:' ↑'}.subs th[aria-sort=descending] button::after{content:' ↓'}
.keep{color:var(--accent)}
.reject{color:var(--alert);font-weight:600}
.cause{border-bottom:1px dotted var(--soft)}
.js{display:none}
.live .js{display:flex}
.filters{flex-wrap:wrap;gap:.5rem 1.1rem;align-items:center;margin-bottom:.7rem;font-size:.9rem}
input,select,button{font:inherit;color:var(--ink);background:var(--paper);border:1px solid var(--line);border-radius:3px;padding:.3rem .5rem;min-height:2rem}
button{cursor:pointer;padding:.3rem .8rem}
input::placeholder{color:var(--soft);opacity:1}
.maps{display:grid;gap:1.8rem 2.2rem}
.map{display:grid;gap:.6rem 1.6rem;align-items:start;align-content:start}
.map .behind{margin:0}
figure{margin:0;min-width:0}
.mapbox{display:grid;grid-template-columns:repeat(2,minmax(0,1fr));gap:1rem;align-items:start;max-width:46rem}
.mapbox>:only-child{grid-column:1/-1;max-width:24rem}
.sensormap{max-width:27rem}
.picture{display:block;position:relative;isolation:isolate;background:#000;overflow:hidden}
.picture img{display:block;width:100%;height:auto}
.atlas img{image-rendering:auto}
.state{margin-top:1.2rem}
.figures{display:grid;grid-template-columns:repeat(auto-fill,minmax(15rem,1fr));gap:.1rem 1.6rem;margin:.4rem 0}
.figures div{display:flex;justify-content:space-between;gap:1rem;border-bottom:1px solid var(--grid);padding:.15rem 0}
.figures dt{color:var(--soft)}.figures dd{margin:0;text-align:right}
.stepper{flex-wrap:wrap;gap:.5rem .8rem;align-items:center;margin-bottom:.6rem}
.stepper button{min-width:3rem;font-size:1.05rem}
.stepper output{min-width:9rem;text-align:center}
.hint{color:var(--soft);font-size:.85rem}
.frame{border-top:1px solid var(--grid);padding-top:.35rem}
:root:not(.live) .frame{content-visibility:auto;contain-intrinsic-size:auto 2rem}
.frame summary{overflow-wrap:anywhere}
.framebody{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,19rem),1fr));gap:1.1rem 1.6rem;padding:.7rem 0;align-items:start}
.stepping .frame{display:none}.stepping .frame.now{display:block;border:0}
.glossary{display:grid;grid-template-columns:minmax(9rem,max-content) 1fr;gap:.2rem 1.4rem}.glossary dt{margin:0}
#readout{position:fixed;z-index:9;pointer-events:none;background:var(--ink);color:var(--paper);font-size:.82rem;line-height:1.35;padding:.35rem .6rem;border-radius:3px;max-width:20rem;white-space:pre-line;overflow-wrap:anywhere;left:0;top:0}
.m{cursor:pointer}
.m.hot{outline:none;filter:brightness(.6) saturate(1.6)}
.live .m.hot{stroke:var(--ink);stroke-width:2;paint-order:stroke}
footer{padding-bottom:2.5rem;color:var(--soft);font-size:.85rem}
@media screen{:root:has(#palette-night:checked) .picture::after{content:'';position:absolute;inset:0;background:#f00;mix-blend-mode:multiply}
:root:has(#palette-night:checked) .picture img{filter:grayscale(1)}}
@media (max-width:700px){
.mapbox{grid-template-columns:minmax(0,1fr)}
.wide{display:none}.narrow{display:block}
section{border-left:0;border-right:0;border-radius:0;margin-left:calc(-1*clamp(.75rem,3vw,2.5rem));margin-right:calc(-1*clamp(.75rem,3vw,2.5rem))}
#verdict{margin-left:0;margin-right:0}
.glossary{display:block}
.subs tbody th{max-width:9.5rem;direction:rtl;text-align:left}
.evidence tr{display:block;border-bottom:1px solid var(--grid);padding:.25rem 0}.evidence thead tr{padding:0}
.evidence th,.evidence td{display:inline-block;border:0;padding:.05rem .6rem .05rem 0}.evidence tbody th{display:block}
.evidence thead th{display:none}
.evidence .n{white-space:normal;text-align:left}.evidence .bound:not(:empty)::before{content:'limit '}
input,select,button{min-height:2.5rem}
}
@media screen and (min-width:701px) and (max-width:1300px){
.subs{font-size:.8rem}.subs th,.subs td{padding:.24rem .34rem}
.subs thead th{white-space:normal}.subs tbody th{max-width:11rem;direction:rtl;text-align:left}.subs td:nth-child(3){min-width:10rem}
}
@media (min-width:900px){.map{grid-template-columns:minmax(0,46rem) minmax(14rem,1fr)}.map .mapbox{grid-row:1/3}.map figcaption{align-self:end;margin:0}.map .behind{align-self:start}}
@media print{
:root{${light}color-scheme:light}
body{font-size:10pt}header,main,footer{max-width:none;padding:0}
nav,.palettes,.js,.live .js,#readout{display:none!important}
section{border:0;padding:.4rem 0;break-inside:auto}
figure,.finding,tr,.scroller{break-inside:avoid}
.tablebox,.tablebox.tall{overflow:visible;max-height:none;border:0}
.subs{font-size:7.5pt}.subs th,.subs td{padding:.12rem .3rem}
.subs thead th,.subs tbody th{position:static;white-space:normal;max-width:none}.subs thead th{overflow-wrap:normal}
.subs td:nth-child(3){min-width:9rem}.subs td.n,.subs td:nth-child(2){white-space:nowrap}.subs td:nth-child(4),.subs td:nth-child(5){white-space:normal}
.stepping .frame{display:none}.stepping .frame.now{display:block}
}
`;
