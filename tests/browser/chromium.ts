import { existsSync } from 'node:fs';
import { chromium, type Browser } from 'playwright-core';

/** Debian's browser; the browser tests are skipped where it is missing (`.ci/run` installs it). */
const PATH = '/usr/bin/chromium';

export const hasChromium = existsSync(PATH);

/** Title of a suite that says so when it is skipped. */
export function browserTitle(title: string): string {
  return hasChromium ? title : `${title} (skipped: there is no ${PATH} on this machine)`;
}

export function launchChromium(): Promise<Browser> {
  return chromium.launch({
    executablePath: PATH,
    args: [
      '--headless',
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  });
}
