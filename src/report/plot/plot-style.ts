/** How plots look, in the roles of the palette; used by the page as it is, and by pictures after `resolveColours`. */
// Marks and textures are placed by reference; selectors with an ancestor do not reach into what `use` shows.
export const plotStyle = `
.plot text{font-family:ui-sans-serif,'Helvetica Neue','Liberation Sans','DejaVu Sans',Arial,sans-serif;font-size:11px;fill:var(--soft)}
.plot .name{font-size:12px;font-weight:600;fill:var(--ink)}
.plot .note{font-size:12px}
.plot .rule{stroke:var(--line);fill:none}
.plot .grid{stroke:var(--grid);fill:none}
.plot .gap{fill:var(--grid);opacity:.7}
.plot .flip{stroke:var(--soft);stroke-dasharray:1 3;stroke-linecap:round;stroke-width:1.6;fill:none}
.plot .limit{stroke:var(--alert);stroke-width:1.2;stroke-dasharray:6 4;fill:none}
.plot .limitname{fill:var(--alert)}
.markkept{stroke:none}
.markrefused{stroke-width:1.5}
.strike{stroke:var(--alert);stroke-width:1.6;fill:none}
.plot .curve{fill:none;stroke:var(--accent);stroke-width:1.8}
.plot .here{stroke:var(--alert);stroke-width:1.4;fill:none}
.plot .heredot{fill:var(--alert);stroke:var(--raised);stroke-width:1.5}
.plot .sensor{fill:var(--raised)}
.plot .outline{fill:none;stroke:var(--line)}
.plot .edge{stroke:var(--line);stroke-width:.6}
.plot .stick{stroke:var(--stick);stroke-width:1.6;stroke-linecap:round;fill:none}
.plot .dot{fill:var(--stick)}
.plot .halo{stroke:var(--contours0);stroke-width:3.4;stroke-linecap:round;fill:none;opacity:.55}
.plot .wide{stroke-width:6}
.plot .tilt{stroke:var(--alert);stroke-width:2.4;fill:none;stroke-linecap:round;stroke-linejoin:round}
.plot .cell{fill:none;stroke:var(--line)}
.plot .half{fill:none;stroke:var(--accent);stroke-width:1}
.plot .blurrest{fill:var(--raised);stroke:var(--soft);stroke-width:.7;stroke-dasharray:2 2}
.plot .texture{stroke:var(--raised);stroke-width:1.3;fill:none}
.plot .texturedot{fill:var(--raised)}
${['0', '1', '2', '3', '4', '5', '6'].map((i) => `.plot .c${i}{fill:var(--contours${i})}`).join('')}
${['0', '1', '2', '3', '4', '5'].map((i) => `.mark${i}{fill:var(--groups${i});stroke:var(--groups${i})}.markrefused.mark${i}{fill:var(--raised)}.plot .b${i}{fill:var(--blur${i})}`).join('')}
`;
