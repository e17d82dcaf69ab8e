// Writes the page anew that `npm test` compares with: look at the difference before you commit it.
// Run: npm run golden
import { writeFileSync } from 'node:fs';
import { goldenFile, goldenPage } from './golden-page.js';

writeFileSync(goldenFile, goldenPage());
console.log(`${goldenFile.pathname} written`);
