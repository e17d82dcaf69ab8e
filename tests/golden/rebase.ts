// npm run golden: takes the sample night's present JSON document and the made-up night's present page as the expected ones, and puts the
// sample night's table into README.md. Look at the difference before it is committed.
import { readFileSync, writeFileSync } from 'node:fs';
import { differences } from './differences.js';
import { goldenPage, goldenPageFile } from './golden-page.js';
import { readmeBlocks, readmeFile, withBlocks } from './readme.js';
import { assessSampleNight, goldenFile, repeatableJson } from './sample-night.js';

const night = await assessSampleNight();
const found = repeatableJson(night);
const changed = differences(JSON.parse(readFileSync(goldenFile, 'utf8')), found, 0);
for (const line of changed) console.log(line);
console.log(`${changed.length} values of the sample night changed`);
writeFileSync(goldenFile, `${JSON.stringify(found, null, 1)}\n`);
writeFileSync(readmeFile, withBlocks(readFileSync(readmeFile, 'utf8'), readmeBlocks(night)));
writeFileSync(goldenPageFile, goldenPage());
