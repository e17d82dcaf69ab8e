import { pageStyle } from '../page/page-style.js';

/** Style sheet of the history page: that of the night's page, and the marks of nights. */
export const rigPageStyle = `${pageStyle}
.plot .band{fill:var(--grid);opacity:.75}
.plot .spread{stroke:var(--soft);stroke-width:1.1;opacity:.7}
.plot .nightdot{fill:var(--accent)}
.plot .oddnight{fill:var(--raised);stroke:var(--alert);stroke-width:1.6}
.plot .notemark{font-size:11px;fill:var(--ink)}
tbody th{white-space:nowrap}
.scroller{overflow-x:auto}
.scroller .plot{min-width:620px}
`;
