import { pageStyle } from '../page/page-style.js';

/** Style sheet of the history page: that of the night's page, and the marks of nights. */
export const rigPageStyle = `${pageStyle}
.plot .band{fill:var(--grid);opacity:.75}
.plot .spread{stroke:var(--soft);stroke-width:1.1;opacity:.7}
.plot .nightdot{fill:var(--accent)}
.plot .oddnight{fill:var(--raised);stroke:var(--alert);stroke-width:1.6}
.plot .notemark{font-size:11px;fill:var(--ink)}
.changes{list-style:none;margin:0;padding:0;columns:24rem 3;column-gap:2.2rem}
.changes>li{break-inside:avoid;border-top:2px solid var(--ink);padding:.4rem 0 1rem}
.changes h3{margin:0}.changes p{margin:0;color:var(--soft)}.changes ul{margin:.3rem 0 0;padding-left:1.1rem}
.date{white-space:nowrap}
.scroller{overflow-x:auto}
.scroller .plot{min-width:620px}
`;
